/**
 * Energy by local day: what went in and out, how deep, how long full, how long charged in the cold;
 * round trip, days of autonomy, and whether winter will empty the pack. Start at {@link
 * org.cellherd.analysis.energy.EnergyFold}.
 */
@NullMarked
package org.cellherd.analysis.energy;

import org.jspecify.annotations.NullMarked;
