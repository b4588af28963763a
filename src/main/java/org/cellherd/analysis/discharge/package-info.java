/**
 * Discharges from full to empty as curves, and what two of them tell together: voltage over charge,
 * the drop between two currents as a resistance, and what a pack costs by what it gives. Start at
 * {@link org.cellherd.analysis.discharge.TestedDischarge}.
 */
@NullMarked
package org.cellherd.analysis.discharge;

import org.jspecify.annotations.NullMarked;
