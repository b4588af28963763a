package org.cellherd.sim;

import org.cellherd.pack.PackPlan.SensorRole;

/**
 * A temperature sensor of the board.
 *
 * @param role what it touches
 * @param cell which cell, for {@link SensorRole#CELL}
 * @param offsetC its fixed error
 */
record SensorTraits(SensorRole role, int cell, double offsetC) {}
