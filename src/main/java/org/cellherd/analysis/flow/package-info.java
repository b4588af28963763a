/**
 * Sums of the charge and energy that flowed, in exact whole numbers, and how far they may be off.
 * Knows nothing of days, tests or cells. What flowed over one step is {@link
 * org.cellherd.analysis.moment.Flow}.
 */
@NullMarked
package org.cellherd.analysis.flow;

import org.jspecify.annotations.NullMarked;
