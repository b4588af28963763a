package org.cellherd.sim;

/**
 * What one cell, or one group of cells in parallel, is.
 *
 * @param curve its rest voltage
 * @param capacityAh charge between empty and full, Ah
 * @param impedance its resistances
 * @param hysteresisV half the distance between charge and discharge branch at rest, V
 * @param leakA self-discharge, A
 */
record CellTraits(
    OpenCircuitCurve curve,
    double capacityAh,
    Impedance impedance,
    double hysteresisV,
    double leakA) {

  /** Refuses what no cell has. */
  public CellTraits {
    if (!(capacityAh > 0)) {
      throw new IllegalArgumentException("capacity " + capacityAh + " Ah, must be above 0");
    }
    if (!(leakA >= 0) || !(hysteresisV >= 0)) {
      throw new IllegalArgumentException("leak and hysteresis must not be negative");
    }
  }
}
