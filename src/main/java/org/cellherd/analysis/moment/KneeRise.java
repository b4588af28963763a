package org.cellherd.analysis.moment;

/**
 * How a voltage moves through a knee under a steady current: ever faster, its speed growing
 * linearly with its way, dV/dt = s + g (V - V0). Both published iron-phosphate curves that were
 * tried bend at least so.
 *
 * @param mvPerMin s, the speed now, mV a minute, above 0
 * @param growthPerMin g, by how much the speed grows with each mV of the way, a minute; 0 for a
 *     straight line
 */
public record KneeRise(double mvPerMin, double growthPerMin) {

  /** Minutes until it has gone so many mV, ln(1 + g way / s) / g. */
  public double minutesFor(double wayMv) {
    return growthPerMin == 0
        ? wayMv / mvPerMin
        : Math.log1p(growthPerMin * wayMv / mvPerMin) / growthPerMin;
  }
}
