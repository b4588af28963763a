package org.cellherd.analysis.flow;

import java.util.Optional;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.state.State;

/**
 * What was counted from one full charge to the next. Charge came back to where it was, so the rest
 * of the sum is the offset of the current over the time, save what each charge is off by. Belongs
 * to one thread.
 */
final class CountedSpan {
  /** Two charges that ended alike left the pack as full within so much of the rating. */
  private static final double FULL_SHARE = 0.01;

  /**
   * Of the charge put in at most so much was not stored; practically all came back at 0.2 to 0.8C
   * (Batteries 2019, 5(3), 57).
   */
  private static final double LOST_SHARE = 0.005;

  /** A span that drew less says nothing of a test. */
  private static final double LEAST_SPAN = 0.3;

  private final double ratedAh;
  private final Tally tally = new Tally();
  private ChargeTermination begun = ChargeTermination.NONE;
  private double hiddenAh;
  private double quietHours;
  private double low = Double.NaN;
  private double high = Double.NaN;

  CountedSpan(double ratedAh) {
    this.ratedAh = ratedAh;
  }

  void add(Amounts step, double hiddenA) {
    tally.add(step);
    double hours = step.durationMs() / 3.6e6;
    hiddenAh += hiddenA * hours;
    quietHours += hiddenA > 0 ? hours : 0;
  }

  void doubt(double ah) {
    hiddenAh += ah;
  }

  void full(ChargeTermination kind) {
    boolean isSpan = tally.dischargedAh() >= LEAST_SPAN * ratedAh;
    if (begun == kind && !isSpan) {
      return;
    }
    if (begun == kind && (kind == ChargeTermination.TAIL || kind == ChargeTermination.FIRST_CELL)) {
      judge();
    }
    begun = kind;
    tally.clear();
    hiddenAh = 0;
    quietHours = 0;
  }

  private void judge() {
    double hours = tally.durationMs() / 3.6e6 - quietHours;
    double lost = LOST_SHARE * tally.chargedAh();
    double half = Math.hypot(Math.hypot(FULL_SHARE * ratedAh, hiddenAh), tally.samplingAh());
    if (hours > 0) {
      low = (tally.netAh() - lost - half) / hours;
      high = (tally.netAh() + half) / hours;
    }
  }

  Optional<Interval> offsetA() {
    return Double.isNaN(low)
        ? Optional.empty()
        : Optional.of(new Interval(low, (low + high) / 2, high));
  }

  void state(State io) {
    tally.state(io);
    begun = io.constant(begun);
    hiddenAh = io.number(hiddenAh);
    quietHours = io.number(quietHours);
    low = io.number(low);
    high = io.number(high);
  }
}
