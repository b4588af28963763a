/** The first minutes with a new board: find it, ask for the plan, write the config. */
@NullMarked
package org.cellherd.app.setup;

import org.jspecify.annotations.NullMarked;
