/** What verbs, page and daemon read from the log of a pack together: curves, periods, a meter. */
@NullMarked
package org.cellherd.app.logged;

import org.jspecify.annotations.NullMarked;
