/**
 * What a trusted meter said of a pack, and what the board's sensors must then have wrong. Intervals
 * come from sets: a reading leaves of the possible errors those that agree with it within the
 * meter's accuracy, so that order does not matter and a contradiction shows as nothing left.
 */
@NullMarked
package org.cellherd.analysis.meter;

import org.jspecify.annotations.NullMarked;
