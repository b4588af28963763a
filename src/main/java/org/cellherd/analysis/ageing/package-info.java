/**
 * Years of use: cycles by rainflow, equivalent full cycles, what the capacity tests of the log say
 * about ageing, and life left as an interval from a published model and the owner's own tests.
 * Start at {@link org.cellherd.analysis.ageing.AgeingFold}.
 */
@NullMarked
package org.cellherd.analysis.ageing;

import org.jspecify.annotations.NullMarked;
