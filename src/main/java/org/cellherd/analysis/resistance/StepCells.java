package org.cellherd.analysis.resistance;

import java.util.Arrays;
import org.cellherd.analysis.CurrentFit;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * What one step says of each cell's resistance at the end of a pulse, once all else that moves a
 * cell is taken off: its curve, its hysteresis, what it was doing before. How fast a cell still
 * moves behind the pulse shows most of that; some of that movement is its resistance, which goes on
 * growing. Without such a watch the steepest curve near its voltage bounds it. One thread.
 */
final class StepCells {
  /**
   * By how much a resistance grows an e-fold of time, as a share of it: 0.16 in pulses of 1 to 30 s
   * (from memory), 0.23 to 0.27 with the curve's part from 10 to 30 s in a measured 33 Ah cell.
   */
  private static final double MOST_GROWTH = 0.35;

  /** The knee of a plateau bends within so much charge, a share of a cell's (measured curves). */
  private static final double KNEE_BEND = 0.003;

  /** A curve without a plateau bends within no less (from memory). */
  private static final double BEND = 0.015;

  /** A cell that turns comes from one branch to the other in no less (from memory), a share. */
  private static final double TURN = 0.02;

  /** The surface of a cell comes back to its bulk in no less, s (from memory). */
  private static final double SETTLED_S = 1_200;

  /** From the middle of a pulse to that of its watch, in pulses. */
  private static final double AHEAD = 3.5;

  private final PackPlan plan;
  private final CellCurve curve;
  private final LoadSteps steps;
  private final Frames before;
  private final int[] from;
  private final int[] to;
  private final int pulse;
  private final int stepMa;
  private final double seconds;
  private final double errorMv;
  private final double noiseMv;
  private final double currentError;

  /** {@link #ohmicMv} of each cell, once reckoned: each is held against the usual one. */
  private final @Nullable Interval[] ohmicMv;

  /** The usual one, once reckoned. */
  private double usualMv = Double.NaN;

  /**
   * A step at the end of a pulse.
   *
   * @param digitMv last digit of the cells' voltages
   * @param zoneMa a current of 0 may be so much
   */
  StepCells(
      PackPlan plan,
      LoadSteps steps,
      int pulse,
      Frames before,
      Frames after,
      int stepMa,
      double digitMv,
      int zoneMa) {
    this.plan = plan;
    curve = CellCurve.of(plan.chemistry());
    this.steps = steps;
    this.before = before;
    from = medians(before);
    to = medians(after);
    this.pulse = pulse;
    this.stepMa = stepMa;
    seconds = steps.passedS(pulse);
    StepNoise noise = new StepNoise(before, after, plan.series());
    errorMv = noise.mv(digitMv);
    double ofRows = Math.hypot(noise.mv(digitMv, before.count()), noise.mv(digitMv, after.count()));
    noiseMv = 2 * Math.hypot(ofRows, isLoaded() ? before.changeNoise() * toEdge() * errorMv : 0);
    currentError = currentError(zoneMa);
    ohmicMv = new Interval[plan.series()];
  }

  /** Of the cells and then the pack. */
  private int[] medians(Frames of) {
    int[] medians = new int[plan.series() + 1];
    Arrays.setAll(medians, of::median);
    return medians;
  }

  /** A printed 0 hides the offset that the other current has, and what flows within the zone. */
  private double currentError(int zoneMa) {
    boolean hasZero = steps.currentBeforeMa() == 0 || currentAfter() == 0;
    double hidden = Math.max(1000 * CurrentFit.usualOffsetA(plan.ratedAh()), zoneMa);
    return hasZero ? hidden / Math.abs(stepMa) : 0;
  }

  private int currentAfter() {
    return steps.currentBeforeMa() + stepMa;
  }

  /** True where each cell was read on both sides. */
  boolean isWhole() {
    for (int i = 0; i < plan.series(); i++) {
      if (from[i] == Moment.MISSING || to[i] == Moment.MISSING) {
        return false;
      }
    }
    return true;
  }

  /** By how much a cell, from 1, moved, mV, positive the way that the current went. */
  double seenMv(int cell) {
    double fromMv = from[cell - 1] / 10.0 + (isLoaded() ? toEdge() * change(cell) : 0);
    return (to[cell - 1] / 10.0 - fromMv) * Math.signum(stepMa);
  }

  /** The middle of the readings before lies so many of their whole change before the step. */
  private double toEdge() {
    return before.count() / 2.0 / Math.max(1, before.count() - 1);
  }

  /** How far noise may have moved the change of voltage of this step, 95 %, mV. */
  double noiseMv() {
    return noiseMv;
  }

  private double change(int cell) {
    return before.change(cell - 1) / 10.0;
  }

  /** A cell at rest hardly moves; one under a load goes on until the step. */
  private boolean isLoaded() {
    return 10 * Math.abs(steps.currentBeforeMa()) > Math.abs(stepMa);
  }

  /** How far the voltage at the very step may be off by how the cell, from 1, moved before it. */
  private double edgeMv(int cell) {
    return isLoaded() ? Math.abs(change(cell)) / 2 / (before.count() - 1) : 0;
  }

  /**
   * What of the movement is the resistance's, mV, noise apart: what the curves of the chemistry and
   * the watch behind the pulse both leave open, or the narrower one where noise sets them apart.
   */
  Interval ohmicMv(int cell) {
    Interval known = ohmicMv[cell - 1];
    if (known == null) {
      known = reckonOhmicMv(cell);
      ohmicMv[cell - 1] = known;
    }
    return known;
  }

  private Interval reckonOhmicMv(int cell) {
    Interval byCurve = byCurve(cell);
    Interval byWatch = steps.later(pulse).isKnown() ? byWatch(cell) : byCurve;
    double low = Math.max(byCurve.low(), byWatch.low());
    double high = Math.min(byCurve.high(), byWatch.high());
    if (low <= high) {
      return new Interval(low, (low + high) / 2, high);
    }
    return width(byWatch) < width(byCurve) ? byWatch : byCurve;
  }

  private static double width(Interval of) {
    return of.high() - of.low();
  }

  /** From rest or to it, curve and hysteresis move a cell the way that the current does. */
  private Interval byCurve(int cell) {
    double seen = seenMv(cell);
    double along = curveMv(cell) + turnMv();
    double eitherWay = edgeMv(cell) + Math.abs(steps.slopeBefore()) * seconds / 60;
    double against = isFromOrToRest() ? 0 : along;
    return new Interval(
        seen - along - eitherWay, seen + (against - along) / 2, seen + against + eitherWay);
  }

  private boolean isToRest() {
    return 10 * Math.abs(currentAfter()) < Math.abs(stepMa);
  }

  private boolean isFromOrToRest() {
    int ended = Math.abs(currentAfter());
    int began = Math.abs(steps.currentBeforeMa());
    return 10 * Math.min(ended, began) < Math.abs(stepMa);
  }

  /** What goes on evenly is taken off; part of it may be the resistance, which still grows. */
  private Interval byWatch(int cell) {
    CellLines watch = steps.later(pulse);
    double movedMv = watch.slope(cell) * Math.signum(stepMa) * seconds;
    double lineMv = 2 * errorMv * watch.slopeError() * seconds;
    double grown =
        MOST_GROWTH
            * seconds
            * Math.log(watch.toS() / watch.fromS())
            / (watch.toS() - watch.fromS());
    double least = seenMv(cell) - movedMv;
    double bent = curveMv(cell) * bent(bend(curve)) + turnMv() * bent(TURN) + edgeMv(cell);
    double open = Math.hypot(lineMv, bent);
    double most = least / (1 - grown);
    double slowed = slowedMv(cell, Math.max(0, movedMv));
    return new Interval(
        Math.min(least, most) - open - slowed,
        (least + most - slowed) / 2,
        Math.max(least, most) + open);
  }

  /** A curve bends within so much charge, a share of a cell's. */
  static double bend(CellCurve curve) {
    return Double.isNaN(curve.footMv()) ? BEND : KNEE_BEND;
  }

  /**
   * What of the coming back after a load the watch does not see, off a plateau: the surface of a
   * cell comes back the slower the longer it has been doing so, and a knee flattens on its way.
   */
  private double slowedMv(int cell, double movedMv) {
    if (!isToRest() || curve.slope(to[cell - 1] / 10.0).isEmpty()) {
      return 0;
    }
    double inTime = seconds / SETTLED_S;
    double alongKnee = movedMv / (100 * bend(curve) * steepest(cell));
    return movedMv * Math.min(1, AHEAD * (inTime + alongKnee));
  }

  /** Share of a movement along a curve that a watch some pulses later may not see. */
  private double bent(double within) {
    return Math.min(1, AHEAD * chargeShare() / within);
  }

  /** What flows through the cells until the end of the pulse, a share of the rating. */
  private double chargeShare() {
    return Math.abs(currentAfter()) / 1000.0 * seconds / 3600 / plan.ratedAh();
  }

  /**
   * By how much the charge of the pulse may move a cell along its curve. Load taken off leaves the
   * surface of the cell behind: it comes back by as much as the load would have moved it.
   */
  private double curveMv(int cell) {
    double amperes = Math.max(Math.abs(currentAfter()), Math.abs(steps.currentBeforeMa())) / 1000.0;
    return 100 * amperes * seconds / 3600 / plan.ratedAh() * steepest(cell);
  }

  /** From one branch of the hysteresis towards the other. */
  private double turnMv() {
    return 1000 * curve.hysteresisV() * Math.min(1, chargeShare() / TURN);
  }

  /** The volts under the current are the resistance's, not the curve's. */
  private double steepest(int cell) {
    double fromMv = from[cell - 1] / 10.0;
    double toMv = to[cell - 1] / 10.0;
    if (isFromOrToRest()) {
      return steepest(Math.abs(currentAfter()) < Math.abs(steps.currentBeforeMa()) ? toMv : fromMv);
    }
    return Math.max(steepest(fromMv), steepest(toMv));
  }

  /** A resting cell stands on one of two branches: its curve is met within the hysteresis. */
  private double steepest(double mv) {
    double nearMv = 1000 * curve.hysteresisV();
    double own = curve.slope(mv).map(Interval::high).orElseGet(() -> curve.steepest(mv));
    return Math.max(own, Math.max(slopeOrZero(mv - nearMv), slopeOrZero(mv + nearMv)));
  }

  private double slopeOrZero(double mv) {
    return curve.slope(mv).map(Interval::high).orElse(0.0);
  }

  /**
   * The resistance of a cell, from 1, in tenths of a micro-ohm; {@link Moment#MISSING} where the
   * step does not tell it within what a table takes.
   */
  int tenthMicroOhm(int cell) {
    double mv = ohmicMv(cell).mid();
    return errorMv(cell) <= ResistanceTable.mostError(mv, usualMv())
        ? tenthMicroOhm(mv)
        : Moment.MISSING;
  }

  /** The usual cell's, in tenths of a micro-ohm, however badly each is told. */
  int usual() {
    return tenthMicroOhm(usualMv());
  }

  private double usualMv() {
    if (Double.isNaN(usualMv)) {
      double[] mid = new double[plan.series()];
      Arrays.setAll(mid, i -> ohmicMv(i + 1).mid());
      usualMv = Medians.median(mid);
    }
    return usualMv;
  }

  /** What else than noise that may be off by, in tenths of a micro-ohm. */
  int error(int cell) {
    return tenthMicroOhm(errorMv(cell));
  }

  private double errorMv(int cell) {
    Interval ohmic = ohmicMv(cell);
    double byMovement = (ohmic.high() - ohmic.low()) / 2;
    double byStep = Math.abs(ohmic.mid()) * Math.hypot(steps.timeError(pulse), currentError);
    return Math.hypot(byMovement, byStep);
  }

  /** Of links and switches between the cells' sum and the terminals; missing where not told. */
  int path() {
    int packFrom = from[plan.series()];
    int packTo = to[plan.series()];
    if (packFrom == Moment.MISSING || packTo == Moment.MISSING) {
      return Moment.MISSING;
    }
    long sum = 0;
    for (int i = 0; i < plan.series(); i++) {
      sum += to[i] - from[i];
    }
    return tenthMicroOhm((packTo - packFrom - sum) / 10.0 * Math.signum(stepMa));
  }

  /** 1 mV a mA is 1 ohm: ten million tenths of a micro-ohm. */
  int tenthMicroOhm(double mv) {
    double value = 1e7 * mv / Math.abs(stepMa);
    return (int) Math.max(-1e9, Math.min(1e9, Math.rint(value)));
  }
}
