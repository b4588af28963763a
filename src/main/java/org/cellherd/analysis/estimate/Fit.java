package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * The filter in passes, each linearised at what the last one found, until nothing is gained: a pure
 * function of the kept blocks, so that live, replayed and restored runs agree.
 */
final class Fit {
  /**
   * What a charge has shown of the pack itself.
   *
   * @param unknowns by {@link Unknowns}
   * @param shift by how much the plateau is above the usual one, V
   */
  @SuppressWarnings("ArrayRecordComponent")
  record Found(double[] unknowns, double shift) {
    static Found none(int cells) {
      return new Found(new double[new Unknowns(cells).size()], 0);
    }

    Found state(State io) {
      double[] all = unknowns.clone();
      io.each(all);
      return new Found(all, io.number(shift));
    }
  }

  private static final int PASSES = 4;

  /** Passes before the last look at each cell in every second block: they only seek the point. */
  private static final int SEEKING = 2;

  private static final double MOST_STEP = 0.5;
  private static final double STEP_SHARE = 0.5;

  /** Where the plateau of iron phosphate ends at rest, V (common practice, no source). */
  private static final double PLATEAU_ENDS_V = 3.357;

  /** The middle of its upper half, and a cell that has left it, at rest, V (the same). */
  private static final double PLATEAU_V = 3.337;

  private static final double CLIMBING_V = 3.385;

  /** Plateaus of makers differ by no more, V (the same). */
  private static final double MOST_SHIFT_V = 0.04;

  /** Two blocks so far apart may show a step: each is a minute at most. */
  private static final double SOON_S = 130;

  /** A resistance to begin with need not be better than this. */
  private static final double MOST_BY_CHARGE = 0.25;

  private final Unknowns at;
  private final List<Block> blocks;
  private final PackPlan plan;
  private final Carried carried;
  private final ErrorBudget.Bleed bleed;
  private final Pass.Start start;
  private final Curve curve;
  private final @Nullable Found last;
  private final double[] usual = new double[Curve.STEPS];

  /**
   * A fit of some blocks.
   *
   * @param last where the last charge that was believed ended, to begin there; null begins with
   *     what is usual, and with steps of the current
   */
  Fit(
      PackPlan plan,
      Carried carried,
      boolean isBleedTold,
      List<Block> blocks,
      @Nullable Found last) {
    this.plan = plan;
    this.carried = carried;
    this.last = last;
    bleed = ErrorBudget.bleed(isBleedTold, plan);
    this.blocks = blocks;
    at = new Unknowns(plan.series());
    double shift = last == null ? shift() : last.shift();
    curve = Curve.of(plan.chemistry(), plan.ratedAh(), shift);
    Arrays.setAll(usual, curve::increment);
    double knee = plan.chemistry() == Chemistry.LFP ? PLATEAU_ENDS_V + shift : 0;
    start = new Pass.Start(prior(), plan.ratedAh(), knee, carried.isKnown());
  }

  /**
   * True where in the last of some blocks a first cell has left the plateau, wherever that is: then
   * its height shows. A bad joint lifts a cell, too, but from the beginning: what a cell was above
   * the median one before, under such a current, does not count.
   */
  static boolean isClimbing(List<Block> blocks, PackPlan plan) {
    if (plan.chemistry() != Chemistry.LFP) {
      return false;
    }
    Block last = blocks.get(blocks.size() - 1);
    double[] lifted =
        Lifted.least(plan.series(), blocks.subList(0, blocks.size() - 1), last.current().now());
    double drop = drop(last, plan);
    return IntStream.range(0, lifted.length)
        .anyMatch(k -> last.volts()[k] - Math.max(0, lifted[k]) - drop > CLIMBING_V);
  }

  /**
   * By how much this plateau is above the usual one, V. Looked at where the usual curve has its
   * middle, so much charge before a first cell climbs: later the others of an even pack climb, too.
   * Before one climbs nobody knows which part of the plateau is seen.
   */
  private double shift() {
    int up = 0;
    while (up < blocks.size() && !isClimbing(blocks.subList(0, up + 1), plan)) {
      up++;
    }
    if (up == blocks.size()) {
      return 0;
    }
    Curve common = Curve.of(plan.chemistry(), plan.ratedAh(), 0);
    Arrays.setAll(usual, common::increment);
    double climb = common.charge(CLIMBING_V, usual) - common.charge(PLATEAU_V, usual);
    int before = up;
    while (before > 0 && blocks.get(up).ah() - blocks.get(before).ah() < climb) {
      before--;
    }
    Block flat = blocks.get(before);
    double shift = Medians.median(flat.volts()) - drop(flat, plan) - PLATEAU_V;
    return Math.max(-MOST_SHIFT_V, Math.min(MOST_SHIFT_V, shift));
  }

  /** What the current adds to a cell with the usual resistance, V. */
  static double drop(Block b, PackPlan plan) {
    Block.Currents i = b.current();
    double r = ErrorBudget.OHM_AH / plan.ratedAh() * b.cold();
    return r * (i.now() + i.fast() + i.slow());
  }

  private Belief prior() {
    Belief p = new Belief(at.size());
    double[][] c = p.covariance;
    double r = ErrorBudget.OHM_AH / plan.ratedAh();
    int n = at.cells();
    for (int k = 0; k < n; k++) {
      for (int j = 0; j < n; j++) {
        c[k][j] =
            sq(ErrorBudget.START_ALL * plan.ratedAh())
                + (carried.isKnown() ? carried.spread(k, j, blocks.get(0).hours()) : 0);
        c[at.offset(k)][at.offset(j)] = ((k == j ? 1 : 0) - 1.0 / n) * sq(ErrorBudget.OFFSET_V);
      }
      c[k][k] += carried.isKnown() ? 0 : sq(ErrorBudget.START_OWN * plan.ratedAh());
      p.mean[k] = carried.isKnown() ? carried.place(k) : 0;
      c[at.excess(k)][at.excess(k)] = sq(ErrorBudget.OWN_R * r) + sq(ErrorBudget.STRAP_OHM);
      c[at.plateau(k)][at.plateau(k)] = sq(ErrorBudget.PLATEAU_V);
      c[at.scale(k)][at.scale(k)] = sq(ErrorBudget.SCALE);
    }
    for (int j = 0; j < Curve.STEPS; j++) {
      for (int k = 0; k < Curve.STEPS; k++) {
        c[at.increment(j)][at.increment(k)] = curve.covariance(j, k);
      }
    }
    for (int lag = 0; lag < 3; lag++) {
      c[at.resistance(lag)][at.resistance(lag)] = sq(ErrorBudget.LOG_R);
    }
    double si = Math.min(0.2, Math.max(0.04, 0.0015 * plan.ratedAh()));
    c[at.current()][at.current()] = si * si;
    p.mean[at.bleed()] = bleed.amperes();
    c[at.bleed()][at.bleed()] = sq(bleed.error());
    for (int lag = 0; lag < 2; lag++) {
      p.mean[at.surface(lag)] = ErrorBudget.SURFACE_H / 2;
      c[at.surface(lag)][at.surface(lag)] = sq(ErrorBudget.SURFACE_H);
    }
    c[at.common()][at.common()] = sq(ErrorBudget.COMMON_V);
    return p;
  }

  private static double sq(double v) {
    return v * v;
  }

  /**
   * The last of the passes. Steps are halved: a whole one leads astray where the curve bends. The
   * likelihood would not tell which pass is best, since each has errors of its own point.
   */
  Pass run() {
    double[] point = begin();
    for (int p = 1; p < PASSES; p++) {
      point = nearer(point, pass(point, SEEKING).belief().mean);
    }
    return pass(point, 1);
  }

  private double[] begin() {
    if (last != null) {
      double[] point = last.unknowns().clone();
      // What those were then says nothing of now.
      point[at.current()] = 0;
      point[at.common()] = 0;
      point[at.moment()] = 0;
      return point;
    }
    double[] point = new double[at.size()];
    point[at.bleed()] = bleed.amperes();
    startResistance(point);
    return point;
  }

  private Pass pass(double[] point, int every) {
    Pass pass = new Pass(at, curve, start, point, every);
    blocks.forEach(pass::take);
    return pass;
  }

  private double[] nearer(double[] point, double[] found) {
    double[] next = point.clone();
    for (int i = at.offset(0); i < at.size(); i++) {
      if (i != at.current() && i != at.common() && i != at.moment()) {
        next[i] += STEP_SHARE * Math.max(-MOST_STEP, Math.min(MOST_STEP, found[i] - point[i]));
      }
    }
    return next;
  }

  /** Shared resistance from the pack's own steps of current. */
  private void startResistance(double[] point) {
    double up = 0;
    double down = 0;
    for (int i = 1; i < blocks.size(); i++) {
      Block p = blocks.get(i - 1);
      Block q = blocks.get(i);
      double di = q.current().now() - p.current().now();
      if (Math.abs(di) > 0.02 * plan.ratedAh() && isStep(p, q, Math.abs(di))) {
        up += Math.abs(di) * Medians.median(perAmpere(p, q, di));
        down += Math.abs(di);
      }
    }
    if (down > 0) {
      double ratio = Math.max(0.2, Math.min(8, up / down / (ErrorBudget.OHM_AH / plan.ratedAh())));
      point[at.resistance(0)] = Math.log(ratio * 0.75);
      point[at.resistance(1)] = Math.log(ratio * 0.25);
      point[at.resistance(2)] = Math.log(ratio * 0.3);
    }
  }

  private double[] perAmpere(Block p, Block q, double di) {
    double[] dv = new double[at.cells()];
    for (int k = 0; k < dv.length; k++) {
      dv[k] = (q.volts()[k] - p.volts()[k]) / di / q.cold();
    }
    return dv;
  }

  /**
   * True when what the current does to a voltage is more than what the charge does that it moves
   * meanwhile: a charger that holds a voltage lowers its current and no cell falls.
   */
  private boolean isStep(Block p, Block q, double di) {
    double ohm = ErrorBudget.OHM_AH / plan.ratedAh() * q.cold();
    double rested = Medians.median(q.volts()) - ohm * q.current().now();
    double ah10Mv = curve.charge(rested + 0.005, usual) - curve.charge(rested - 0.005, usual);
    double byCharge = 0.01 * Math.abs(q.ah() - p.ah()) / Math.max(1e-8, ah10Mv);
    boolean isSoon = (q.hours() - p.hours()) * 3600 < SOON_S;
    return isSoon && byCharge < MOST_BY_CHARGE * di * ohm;
  }
}
