package org.cellherd.analysis.charge;

import org.cellherd.analysis.flow.Tally;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.state.State;

/**
 * Charge and energy between two full charges, where what is stored is the same at both ends: their
 * ratios are the efficiencies, and the difference in charge is what the current sensor is off by
 * together with self-discharge and the board's own supply, which cannot be told apart.
 */
final class FullToFull {
  private static final double LEAST_SPAN = 0.3;

  private final double ratedAh;
  private final Tally tally = new Tally();
  private boolean isOpen;
  private boolean isWhole;
  private double coulombic = Double.NaN;
  private double energetic = Double.NaN;
  private double driftMa = Double.NaN;

  /** Spans that drew less than a good part of a pack's rated Ah tell nothing. */
  FullToFull(double ratedAh) {
    this.ratedAh = ratedAh;
  }

  void add(Amounts step) {
    tally.add(step);
  }

  void breakOff() {
    isWhole = false;
  }

  /** A charge has ended; only full ones by the tail current count as ends of a span. */
  void top(boolean isFull) {
    if (isFull && isOpen && isWhole && tally.dischargedAh() >= LEAST_SPAN * ratedAh) {
      coulombic = tally.dischargedAh() / tally.chargedAh();
      energetic = tally.dischargedWh() / tally.chargedWh();
      driftMa = tally.netAh() * 1000 / (tally.durationMs() / 3_600_000.0);
    }
    if (isFull) {
      isOpen = true;
      isWhole = true;
      tally.clear();
    }
  }

  /** Ah out over Ah in of the latest whole span; NaN before one. */
  double coulombic() {
    return coulombic;
  }

  /** Wh out over Wh in of the latest whole span; NaN before one. */
  double energetic() {
    return energetic;
  }

  /** Current that was counted in but not stored, mA; NaN before a whole span. */
  double netMa() {
    return driftMa;
  }

  /** Outside 0.97 to 1.03 (common practice, no source) it is the sensor or missing data. */
  boolean isSensorDoubtful() {
    return coulombic < 0.97 || coulombic > 1.03;
  }

  void state(State io) {
    tally.state(io);
    isOpen = io.flag(isOpen);
    isWhole = io.flag(isWhole);
    coulombic = io.number(coulombic);
    energetic = io.number(energetic);
    driftMa = io.number(driftMa);
  }
}
