package org.cellherd.analysis.energy;

import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.state.State;

/** The greatest mean power of any minute, both directions. Belongs to one thread. */
final class PeakPower {
  private static final long MINUTE_MS = 60_000;

  private long spanMs;
  private double in;
  private double out;
  private double peakIn;
  private double peakOut;

  void add(Amounts step) {
    spanMs += step.durationMs();
    in += step.chargedEnergy();
    out += step.dischargedEnergy();
    if (spanMs >= MINUTE_MS) {
      peakIn = Math.max(peakIn, in / (2e6 * spanMs));
      peakOut = Math.max(peakOut, out / (2e6 * spanMs));
      breakOff();
    }
  }

  /** Nothing is averaged across a gap. */
  void breakOff() {
    spanMs = 0;
    in = 0;
    out = 0;
  }

  double chargeWatts() {
    return peakIn;
  }

  double dischargeWatts() {
    return peakOut;
  }

  void clear() {
    breakOff();
    peakIn = 0;
    peakOut = 0;
  }

  void state(State io) {
    spanMs = io.number(spanMs);
    in = io.number(in);
    out = io.number(out);
    peakIn = io.number(peakIn);
    peakOut = io.number(peakOut);
  }
}
