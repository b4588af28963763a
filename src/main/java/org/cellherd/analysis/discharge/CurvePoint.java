package org.cellherd.analysis.discharge;

/**
 * One instant of a discharge.
 *
 * @param ah drawn so far, Ah
 * @param wh drawn so far, Wh
 * @param volts the pack's
 * @param cellVolts of the cell that ended the discharge; NaN where cells are not told
 * @param amps drawn now, positive
 */
public record CurvePoint(double ah, double wh, double volts, double cellVolts, double amps) {

  /** Power drawn now, W. */
  public double watts() {
    return volts * amps;
  }
}
