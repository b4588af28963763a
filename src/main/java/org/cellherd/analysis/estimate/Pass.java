package org.cellherd.analysis.estimate;

import java.util.Arrays;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Chemistry;
import org.jspecify.annotations.Nullable;

/** One pass of the filter over blocks, linearised at a point. */
final class Pass {
  /** Half of the way over which the curve's slope is taken, V. */
  private static final double SLOPE_V = 0.002;

  /** Over this share of the way from knot to knot the curve is much the same straight line. */
  private static final double NEAR_SHARE = 0.5;

  /** Over so much the plateau turns into the knee, V. */
  private static final double PLATEAU_BEND_V = 0.012;

  /** A cell is above its plateau when it is by so many standard deviations. */
  private static final double KNEE_SURE = 2;

  private final Unknowns at;
  private final Curve curve;
  private final Start start;
  private final double[] point;
  private final int every;
  private final double[] increments = new double[Curve.STEPS];
  private final double[] weights = new double[Curve.STEPS];
  private final double[] roomOhm = new double[3];
  private final double[] ohm = new double[3];
  private final int n;
  private final int[] index;
  private final double[] slope;
  private final int[] sources;
  private final double[][] moves;
  private @Nullable Block latest;

  private final Belief belief;
  private double surprise;
  private int used;
  private int taken;
  private final KneeLooks knees;
  private final double[] seenAt;
  private double fromHours = Double.NaN;
  private final double[] lagDoubt;
  private double risen;
  private double charged;
  private long measured;

  /** What a pass begins with. */
  record Start(Belief prior, double ratedAh, double kneeV, boolean isPlaced) {}

  /**
   * A pass that has taken nothing.
   *
   * @param every of each cell one block in so many is looked at
   */
  Pass(Unknowns at, Curve curve, Start start, double[] point, int every) {
    this.every = every;
    this.at = at;
    this.curve = curve;
    this.start = start;
    this.point = point;
    n = at.cells();
    lagDoubt = new double[n];
    knees = new KneeLooks(n);
    seenAt = new double[n];
    Arrays.fill(seenAt, Double.NaN);
    belief = start.prior().copy();
    index = new int[at.size()];
    slope = new double[at.size()];
    sources = new int[] {at.current(), at.bleed(), at.surface(0), at.surface(1)};
    moves = new double[sources.length][n];
    for (int j = 0; j < Curve.STEPS; j++) {
      increments[j] = curve.increment(j) * Math.exp(clip(point[at.increment(j)], -4, 3));
    }
    for (int lag = 0; lag < 3; lag++) {
      roomOhm[lag] =
          ErrorBudget.OHM_AH / start.ratedAh() * Math.exp(clip(point[at.resistance(lag)], -4, 4));
    }
  }

  private static double clip(double v, double low, double high) {
    return Math.max(low, Math.min(high, v));
  }

  void take(Block b) {
    Arrays.setAll(ohm, lag -> roomOhm[lag] * b.cold());
    Block before = latest;
    if (before == null) {
      begin(b);
    } else {
      predict(b, before);
    }
    double moved;
    double h = before == null ? 0 : b.hours() - before.hours();
    for (int k = 0; k < n; k++) {
      if ((b.measures() >> k & 1) != 0 && (taken + k) % every == 0) {
        moved = before == null ? 0 : Math.abs(b.volts()[k] - before.volts()[k]);
        measure(b, k, moved / Math.max(1.0, h * 3600));
      }
    }
    if (knees.all() != 0 && before != null) {
      risen += b.current().risen() - before.current().risen();
      charged += Math.abs(b.ah() - before.ah());
    }
    belief.settle();
    latest = b;
    taken++;
  }

  double drop(Block b) {
    return ohm[0] * b.current().now() + ohm[1] * b.current().fast() + ohm[2] * b.current().slow();
  }

  double rested(Block b, int k) {
    double v =
        b.volts()[k] - drop(b) - point[at.excess(k)] * b.current().now() - point[at.offset(k)];
    return v - flat(v) * point[at.plateau(k)];
  }

  /**
   * All cells begin where the median one is: where each stands is for its looks to say. On a
   * plateau a wire that is off by some mV would set its cell off by a tenth of the rated charge.
   */
  private void begin(Block b) {
    fromHours = b.hours();
    double[] above = new double[n];
    Arrays.setAll(above, k -> curve.charge(rested(b, k), increments) - belief.mean[k]);
    double middle = Medians.median(above);
    for (int k = 0; k < n; k++) {
      belief.mean[k] += middle;
    }
  }

  private void predict(Block b, Block before) {
    double h = b.hours() - before.hours();
    double dq = b.ah() - before.ah();
    double amperes = 0.5 * (Math.abs(b.current().now()) + Math.abs(before.current().now()));
    int i = at.current();
    int beta = at.bleed();
    double[][] p = belief.covariance;
    double d2 = b.current().slow() - before.current().slow();
    double d3 = b.current().slowest() - before.current().slowest();
    for (int k = 0; k < n; k++) {
      belief.mean[k] += dq;
      moves[0][k] = h;
      moves[1][k] = -b.bledHours()[k];
      moves[2][k] = d2;
      moves[3][k] = d3;
    }
    belief.move(sources, moves);
    double change = Math.abs(b.current().now() - before.current().now());
    double most =
        Math.max(
            Math.max(Math.abs(b.current().now()), Math.abs(before.current().now())),
            0.02 * start.ratedAh());
    double ae = change < 0.3 * most ? Math.exp(-h) : 0.3;
    belief.decay(at.common(), ae, sq(ErrorBudget.COMMON_V) * (1 - ae * ae));
    double a = isUntold(b) == isUntold(before) ? Math.exp(-h / 2) : 0;
    double si = offsetA();
    si = isUntold(b) ? Math.max(0.5 * b.deadZoneA(), si) : si + 0.01 * amperes;
    belief.decay(i, a, si * si * (1 - a * a));
    double t = lagged(b);
    belief.decay(at.moment(), 0, sq(t));
    double common = sq(ErrorBudget.SURFACE_WALK * (Math.abs(d2) + Math.abs(d3))) + sq(b.lostAh());
    for (int k = 0; k < n; k++) {
      for (int j = 0; j < n; j++) {
        p[k][j] += common;
      }
      double u = b.bledHours()[k];
      double own =
          ErrorBudget.bleedWalk(u)
              + leaked(b.hours(), before.hours())
              + sq(Math.max(0.03, belief.mean[beta])) * b.unsureHours()[k] * Math.max(h, 0.01)
              + sq(0.004 * dq);
      p[k][k] += own;
      double moved = Math.abs(b.volts()[k] - before.volts()[k]);
      p[at.offset(k)][at.offset(k)] +=
          sq(ErrorBudget.OFFSET_WALK) * h + sq(ErrorBudget.OFFSET_MOVED) * moved / 0.01;
    }
  }

  /**
   * What a cell may have leaked meanwhile, squared. Where no plateau hides it, the readings follow
   * a leak that stays; else that is added behind the last look at the knee ({@link
   * Carried#unseen}).
   */
  private double leaked(double now, double before) {
    return start.kneeV() > 0
        ? ErrorBudget.leakedByChance(now - before)
        : ErrorBudget.leaked(now - fromHours) - ErrorBudget.leaked(before - fromHours);
  }

  /** A board prints 0 for any current within its dead zone. */
  private static boolean isUntold(Block b) {
    return Math.abs(b.current().now()) < Math.max(b.deadZoneA(), 0.15);
  }

  private double lagged(Block b) {
    return Math.hypot(
        ErrorBudget.LAG * ohm[2] * (b.current().now() - b.current().slow()),
        ErrorBudget.LAG * ohm[1] * (b.current().now() - b.current().fast()));
  }

  double offsetA() {
    return Math.min(0.2, Math.max(0.04, 0.0015 * start.ratedAh()));
  }

  private static double sq(double v) {
    return v * v;
  }

  private void measure(Block b, int k, double speed) {
    double v = rested(b, k);
    if (v < curve.lowest() + SLOPE_V || v > curve.highest() + 0.05) {
      return;
    }
    measured |= 1L << k;
    double where = where(b, k, v);
    double steep = steep(k, where);
    int m = gradient(b, k, where, steep);
    double y = (1 + point[at.scale(k)]) * curve.charge(v, increments) - belief.mean[k];
    for (int q = 1; q < m; q++) {
      int w = index[q];
      double from = w == at.common() || w == at.moment() ? 0 : point[w];
      y -= slope[q] * (belief.mean[w] - from);
    }
    double spread = belief.spread(index, slope, m);
    double noise = sq(steep) * variance(b, v, speed);
    double late = belief.mean[at.excess(k)] * b.current().fast();
    lagDoubt[k] = steep * Math.hypot(late, start.kneeV() > 0 ? 0 : ohm() * b.current().now());
    double s = spread + noise;
    if (y > 0 && start.isPlaced() && v < start.kneeV()) {
      // On the plateau a voltage does not tell that a cell has not leaked further down.
      return;
    }
    double over = Math.max(1, Math.abs(y) / (ErrorBudget.HUBER * Math.sqrt(s)));
    if (!isAtRest(b)) {
      surprise += Math.min(y * y / s, 100);
      used++;
    }
    s *= over * over;
    belief.update(y, s);
    if (isInKnee(b, k, v)) {
      lookedAt(k, v, b.hours());
    }
  }

  /**
   * True where a cell is surely above its own plateau: a wire may read high all along that, and a
   * current may lift a cell from it. A cell that reads low there may be far behind, on a lower
   * stage of the plateau: nothing is added for its wire or its plateau.
   */
  private boolean isInKnee(Block b, int k, double v) {
    double plateau = belief.mean[at.plateau(k)];
    double high = Math.max(0, plateau);
    double low = Math.max(0, -plateau) + Math.max(0, -belief.mean[at.offset(k)]);
    double above = v + flat(v) * point[at.plateau(k)] - high - low - start.kneeV();
    return v - low > start.kneeV() && above > KNEE_SURE * doubt(b, k);
  }

  /**
   * By as much as the curve is flat there, what a leak takes from the voltage is taken for a walk
   * of the input, and nothing shows where hysteresis may hold a cell up that is on its plateau.
   */
  private void lookedAt(int k, double v, double hours) {
    double low = start.kneeV() > 0 ? v - ErrorBudget.PLATEAU_V : v;
    double steep = steep(k, low);
    double walk = sq(steep * ErrorBudget.OFFSET_WALK);
    double share = low < plateauEndsV() ? 1 : walk / (walk + ErrorBudget.leakedByChance(1));
    knees.add(k, hours, share, steep * ErrorBudget.PLATEAU_V / ErrorBudget.LEAK_A);
  }

  /** How far off that may be by what the filter knows of its terms, V. */
  private double doubt(Block b, int k) {
    int m = put(0, at.offset(k), 1);
    m = put(m, at.excess(k), b.current().now());
    m = put(m, at.resistance(0), b.current().now() * ohm[0]);
    m = put(m, at.resistance(1), b.current().fast() * ohm[1]);
    m = put(m, at.resistance(2), b.current().slow() * ohm[2]);
    m = put(m, at.common(), 1);
    m = put(m, at.plateau(k), 1);
    return Math.sqrt(Math.max(0, belief.spread(index, slope, m)));
  }

  /**
   * Where the curve is taken for a look at a cell: where it is seen, and at rest, as long as it
   * stands, where it was seen first. A slope that goes with the noise of what it is to explain
   * comes out flatter with each look (regression dilution, Fuller 1987, from memory), and a cell
   * that stands for days is looked at hundreds of times.
   */
  private double where(Block b, int k, double v) {
    boolean isSame = isAtRest(b) && Math.abs(v - seenAt[k]) < NEAR_SHARE * curve.gap(v);
    seenAt[k] = isSame ? seenAt[k] : v;
    return seenAt[k];
  }

  private boolean isAtRest(Block b) {
    return Math.abs(b.current().now()) < Kept.REST_SHARE * start.ratedAh();
  }

  /** Slope of a cell's curve, Ah a V. */
  private double steep(int k, double v) {
    double more = curve.charge(v + SLOPE_V, increments) - curve.charge(v - SLOPE_V, increments);
    return more / (2 * SLOPE_V) * (1 + point[at.scale(k)]);
  }

  private int gradient(Block b, int k, double v, double steep) {
    double scale = 1 + point[at.scale(k)];
    curve.weights(v, weights);
    double g = curve.charge(v, increments);
    int m = 0;
    m = put(m, k, 1);
    m = put(m, at.offset(k), steep);
    m = put(m, at.excess(k), steep * b.current().now());
    m = put(m, at.scale(k), -g);
    for (int j = 0; j < Curve.STEPS; j++) {
      if (weights[j] != 0) {
        m = put(m, at.increment(j), -weights[j] * increments[j] * scale);
      }
    }
    m = put(m, at.resistance(0), steep * b.current().now() * ohm[0]);
    m = put(m, at.resistance(1), steep * b.current().fast() * ohm[1]);
    m = put(m, at.resistance(2), steep * b.current().slow() * ohm[2]);
    m = put(m, at.current(), steep * (ohm[0] + ohm[1] + ohm[2]));
    m = put(m, at.moment(), steep);
    double below = flat(v);
    if (below > 0) {
      m = put(m, at.plateau(k), steep * below);
    }
    return put(m, at.common(), steep);
  }

  Belief belief() {
    return belief;
  }

  /**
   * Mean square of the surprises against what they should be, where charge flows: cells that stand
   * still agree with everything, and days of them would hide that the charge before did not.
   */
  double chi() {
    return surprise / Math.max(1, used);
  }

  /** By what all variances grow, since the surprises are greater than usual. */
  double widening() {
    return Math.max(1, chi() / ErrorBudget.USUAL_CHI);
  }

  /**
   * Share of a lead that what surfaces took and gave back in the knee leaves open, one standard
   * deviation: the knee looks steeper by it than it is, for all cells alike.
   */
  double switched() {
    return charged == 0 ? 0 : ErrorBudget.swings(risen) / charged;
  }

  /** Covariance of two places, Ah squared. */
  double spread(int a, int b) {
    return belief.covariance[a][b] + sq(switched()) * fromMean(a) * fromMean(b);
  }

  /**
   * What a place against the mean of some is off by that turns with the current: what is not known
   * of the cell's own resistance, Ah squared.
   *
   * @param seen those of the mean, bit 0 = cell 1
   */
  double turning(int k, long seen) {
    int own = at.excess(k);
    double with = belief.covariance[k][own];
    for (int i = 0; i < n; i++) {
      boolean isOfMean = (seen >> i & 1) != 0;
      with -= isOfMean ? belief.covariance[i][own] / Long.bitCount(seen) : 0;
    }
    return sq(with) / belief.covariance[own][own] + sq(lagDoubt[k]);
  }

  /** Of those in their knee: where another stands the knee does not tell. */
  private double fromMean(int k) {
    long all = knees.all();
    double mean = 0;
    for (int i = 0; i < n; i++) {
      mean += KneeLooks.isIn(all, i) ? belief.mean[i] / Long.bitCount(all) : 0;
    }
    return KneeLooks.isIn(all, k) ? belief.mean[k] - mean : 0;
  }

  /** By how much the plateau is above the usual one, V. */
  double shift(Chemistry chemistry) {
    return curve.lowest() - chemistry.sheet().knee().knotsV()[0];
  }

  /** What an increment of the usual curve is to be multiplied by. */
  double growth(int j) {
    return Math.exp(clip(belief.mean[at.increment(j)], -4, 3));
  }

  /** One standard deviation of the logarithm of that. */
  double growthError(int j) {
    return Math.sqrt(widening() * belief.covariance[at.increment(j)][at.increment(j)]);
  }

  /** Shared resistance of a current that has flowed for long, by now, ohm. */
  double ohm() {
    return ohm[0] + ohm[1] + ohm[2];
  }

  /** By how many ohm a cell may be above the usual one at the most, 95 %. */
  double mostBeyondOhm(int k) {
    int excess = at.excess(k);
    return Math.max(0, belief.mean[excess])
        + 2 * Math.sqrt(widening() * belief.covariance[excess][excess]);
  }

  /** At rest below this voltage a cell is on its plateau, or below where the curve begins. */
  double plateauEndsV() {
    return Math.max(curve.lowest(), start.kneeV() + PLATEAU_BEND_V);
  }

  /** Where the mean current of a cell that bleeds stands among the unknowns. */
  int bleed() {
    return at.bleed();
  }

  int taken() {
    return taken;
  }

  /**
   * Where a cell may be further by now, Ah: a strap gives all it has at once, a cell of more
   * resistance gives as much again with time, and which it is the readings hardly tell. Without a
   * plateau a cell that its resistance lifts looks like one that is ahead, as long as the current
   * flows: bad cells have as much again as a usual one (common practice, no source).
   */
  double lagDoubt(int k) {
    return lagDoubt[k];
  }

  /** Which cells were in their knees, and when. */
  KneeLooks knees() {
    return knees;
  }

  /** When its first block was, fold time. */
  double fromHours() {
    return fromHours;
  }

  /** Bit 0 = cell 1 never came to where the curve begins. */
  long below() {
    return ~measured & (-1L >>> (64 - n));
  }

  /** Where a cell that is on its plateau stands at most; NaN for one that came to its knee. */
  double top(int k) {
    if (KneeLooks.isIn(knees.standing(), k)) {
      return Double.NaN;
    }
    return curve.charge(start.kneeV() + 0.008, increments) * (1 + point[at.scale(k)]);
  }

  /** 1 on the plateau, 0 in the knee. */
  private double flat(double v) {
    return clip((start.kneeV() + PLATEAU_BEND_V - v) / PLATEAU_BEND_V, 0, 1);
  }

  private int put(int m, int i, double value) {
    index[m] = i;
    slope[m] = value;
    return m + 1;
  }

  private double variance(Block b, double v, double speed) {
    return sq(b.noise()) / Math.min(b.readings(), 10)
        + sq(b.scatter())
        + sq(b.resolution() / 2.5)
        + sq(ErrorBudget.CURVE_V)
        + sq(0.5 * Math.min(0.01, speed))
        + sq(0.05 * curve.gap(v))
        + sq(ErrorBudget.OWN_DROP * drop(b))
        + sq(ErrorBudget.OWN_LAG * ohm[2] * (b.current().now() - b.current().slow()))
        + sq(ErrorBudget.OWN_LAG * ohm[1] * (b.current().now() - b.current().fast()));
  }
}
