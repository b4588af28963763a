/**
 * What the latest log entry shows, worked out once for all folds of a pack: {@link
 * org.cellherd.analysis.moment.Moment}, with the step before it, the dead zone of the current, and
 * what kind of moment it is.
 */
@NullMarked
package org.cellherd.analysis.moment;

import org.jspecify.annotations.NullMarked;
