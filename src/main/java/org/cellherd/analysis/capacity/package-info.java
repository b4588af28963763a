/**
 * Capacity tests that are found in the log by themselves: one discharge from full to empty, with
 * what ended it, how sure it is, and how it compares with the tests before. Start at {@link
 * org.cellherd.analysis.capacity.CapacityFold}.
 */
@NullMarked
package org.cellherd.analysis.capacity;

import org.jspecify.annotations.NullMarked;
