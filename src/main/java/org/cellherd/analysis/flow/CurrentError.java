package org.cellherd.analysis.flow;

import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * How far a board's current may be off: printed = gain x true + offset. The gain is that of a shunt
 * and its amplifier and cannot be learnt from the log, for it cancels from full to full; a meter
 * tells it. The offset shows at rest, where what is printed is the offset or a small load, and from
 * one full charge to the next, where what was counted in and not taken out again was never there.
 * Belongs to one thread.
 */
public final class CurrentError {
  private final double ratedAh;
  private final Optional<CurrentFit> byMeter;
  private final Moment moment;
  private final RestCurrents rests;
  private final CountedSpan span;

  /** The offset as far as it is known over days, until something new is known of it. */
  private @Nullable Interval known;

  private int knownZoneMa;

  public CurrentError(PackPlan plan, AnalysisSettings settings, Moment moment) {
    ratedAh = plan.ratedAh();
    byMeter = settings.sensors().remaining();
    this.moment = moment;
    rests = new RestCurrents();
    span = new CountedSpan(ratedAh);
  }

  /** Looks at the latest entry; to be called once an entry. */
  public void accept(LogEntry entry) {
    if (!(entry instanceof Reading reading) || moment.currentMa() == Moment.MISSING) {
      return;
    }
    Phase now = moment.phase();
    boolean isHeld = now == Phase.HOLD || now == Phase.UPPER_KNEE;
    if (isStill() && !isHeld) {
      rests.add(moment, reading.dischargeSwitch().orElse(1) == 0);
      known = null;
    } else if (rests.isGoingOn()) {
      rests.end();
      known = null;
    }
  }

  /** So much was counted over the step to the latest reading. */
  public void counted(Amounts step) {
    span.add(step, moment.currentMa() == 0 ? moment.deadZoneMa() / 1000.0 : 0);
  }

  /** Part of the step to the latest reading was not heard; it may have moved so much, Ah. */
  public void unheard(double ah) {
    span.doubt(ah);
  }

  /** The pack has just become full, in this way. */
  public void full(ChargeTermination kind) {
    span.full(kind);
    known = null;
  }

  /** True when the latest current may be nothing but an error of the board. */
  public boolean isStill() {
    return Math.abs((long) moment.currentMa()) <= Math.max(moment.deadZoneMa(), 1000 * mostA());
  }

  private double mostA() {
    return CurrentFit.usualOffsetA(ratedAh);
  }

  /** What is printed for each A that flows. */
  public Interval gain() {
    return byMeter
        .map(CurrentFit::gain)
        .orElse(new Interval(1 - CurrentFit.USUAL_GAIN, 1, 1 + CurrentFit.USUAL_GAIN));
  }

  /** True where the owner's meter has been read on the current. */
  public boolean isMetered() {
    return byMeter.isPresent();
  }

  /** What the board prints when nothing flows, A; bounds of 95 % with the best guess between. */
  public Interval offsetA() {
    return offsetA(rests.offsetA(moment.deadZoneMa() / 1000.0, mostA()));
  }

  private Interval offsetA(Interval byRest) {
    Interval byLog = span.offsetA().map(s -> both(s, byRest)).orElse(byRest);
    return byMeter.map(fit -> both(fit.offsetA(), byLog)).orElse(byLog);
  }

  /**
   * What of the latest current may be wrong by the offset, A: what is printed less this flows.
   * Where 0 is printed it is whatever the zone may hide. Over days, other than around a test, what
   * is printed at rest may be the offset less a small load that never ends, so that it tells
   * nothing.
   */
  public Interval latestA() {
    double zone = moment.deadZoneMa() / 1000.0;
    Interval offset = lastingOffsetA(zone);
    if (moment.currentMa() != 0 || zone == 0) {
      double noise = RestCurrents.ERROR_A;
      return new Interval(offset.low() - noise, offset.mid(), offset.high() + noise);
    }
    double hidden = Math.max((offset.high() - offset.low()) / 2, zone);
    return new Interval(-hidden, 0, hidden);
  }

  private Interval lastingOffsetA(double zone) {
    Interval offset = known;
    if (offset == null || knownZoneMa != moment.deadZoneMa()) {
      boolean isTold = rests.isOpenSeen() || rests.isQuiet(zone);
      offset = isTold ? offsetA() : offsetA(new Interval(-mostA(), 0, mostA()));
      known = offset;
      knownZoneMa = moment.deadZoneMa();
    }
    return offset;
  }

  /** Where two ways to know it do not meet, something else flows: then either may hold. */
  private static Interval both(Interval a, Interval b) {
    double low = Math.max(a.low(), b.low());
    double high = Math.min(a.high(), b.high());
    if (low <= high) {
      return new Interval(low, (low + high) / 2, high);
    }
    return new Interval(Math.min(a.low(), b.low()), a.mid(), Math.max(a.high(), b.high()));
  }

  /** Mean current printed over the latest rest, A; empty before the first. */
  public Optional<Double> printedAtRestA() {
    return rests.latestA();
  }

  public void state(State io) {
    known = null;
    rests.state(io);
    span.state(io);
  }
}
