/**
 * What the latest log entry shows, worked out once for all folds of a pack: {@link
 * org.cellherd.analysis.moment.Moment}, with the step before it and what flowed over it, the dead
 * zone of the current, what kind of moment it is, when the pack was full and how fast cells move.
 */
@NullMarked
package org.cellherd.analysis.moment;

import org.jspecify.annotations.NullMarked;
