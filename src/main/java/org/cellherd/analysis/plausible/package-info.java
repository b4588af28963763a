/**
 * Reasons not to believe some readings: sum of cells, taps, duplicated and stuck values,
 * thermistors, sign and scale of the current. Each names the likely cause and what to look at; none
 * silences anything. Start at {@link org.cellherd.analysis.plausible.PlausibilityFold}.
 */
@NullMarked
package org.cellherd.analysis.plausible;

import org.jspecify.annotations.NullMarked;
