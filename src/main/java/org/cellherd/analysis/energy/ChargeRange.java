package org.cellherd.analysis.energy;

import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;

/**
 * Between which states of charge a day went. How far apart they lie is counted; where they lie
 * comes from the one moment of the day at which the state of charge was known best. Belongs to one
 * thread.
 */
final class ChargeRange {
  /** A state of charge that is known no better places nothing, percent. */
  private static final double TELLING_PCT = 20;

  private double netAh;
  private double lowestAh;
  private double highestAh;
  private double bestWidth = Double.POSITIVE_INFINITY;
  private double bestPct;
  private double bestAh;

  /** What flowed since the day began, Ah, positive charging. */
  void count(double netAh) {
    this.netAh = netAh;
    lowestAh = Math.min(lowestAh, netAh);
    highestAh = Math.max(highestAh, netAh);
  }

  /** What the state of charge is known to be after what was counted. */
  void know(Interval pct) {
    double width = pct.high() - pct.low();
    if (width <= bestWidth) {
      bestWidth = width;
      bestPct = pct.mid();
      bestAh = netAh;
    }
  }

  /**
   * Highest less lowest, percent of a capacity in Ah; more than all of it is a matter of counting.
   */
  double depthPct(double capacityAh) {
    return Math.min(100, 100 * (highestAh - lowestAh) / capacityAh);
  }

  /** Lowest state of charge, 0 to 100 percent; NaN when not known. */
  double lowestPct(double capacityAh) {
    return at(lowestAh, capacityAh);
  }

  /** Highest state of charge, 0 to 100 percent; NaN when not known. */
  double highestPct(double capacityAh) {
    return at(highestAh, capacityAh);
  }

  private double at(double ah, double capacityAh) {
    return bestWidth <= TELLING_PCT
        ? Math.max(0, Math.min(100, bestPct + 100 * (ah - bestAh) / capacityAh))
        : Double.NaN;
  }

  void clear() {
    netAh = 0;
    lowestAh = 0;
    highestAh = 0;
    bestWidth = Double.POSITIVE_INFINITY;
    bestPct = 0;
    bestAh = 0;
  }

  void state(State io) {
    netAh = io.number(netAh);
    lowestAh = io.number(lowestAh);
    highestAh = io.number(highestAh);
    bestWidth = io.number(bestWidth);
    bestPct = io.number(bestPct);
    bestAh = io.number(bestAh);
  }
}
