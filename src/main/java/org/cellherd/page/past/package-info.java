/** Any night, day, month or year from the log. */
@NullMarked
package org.cellherd.page.past;

import org.jspecify.annotations.NullMarked;
