/**
 * Charge and energy that flowed from one reading to the next, in exact whole numbers. Knows nothing
 * of days, tests or cells. Start at {@link org.cellherd.analysis.flow.Flow}.
 */
@NullMarked
package org.cellherd.analysis.flow;

import org.jspecify.annotations.NullMarked;
