/** Gives a stretch of the log, written by a wrong clock, its right times. */
@NullMarked
package org.cellherd.store.redate;

import org.jspecify.annotations.NullMarked;
