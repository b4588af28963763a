package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * Lead of each cell over the last one from one model of the charge. Readings become blocks as they
 * come; what the blocks say is worked out when somebody asks, and depends on them alone: all up to
 * a mark are fitted together, those after it are filtered on. So a live run, a replay and a
 * restored one agree. Belongs to one thread.
 */
public final class LeadEstimator {
  /** A charge is over once so much of the rated charge was drawn. */
  private static final double DRAWN_SHARE = 0.1;

  /** More than the standing load of a pack, share of the rated charge an hour. */
  private static final double DRAWN_RATE = 0.01;

  /** Below this share of the knee's voltage nothing is learned of the top. */
  private static final double LOW_SHARE = 0.94;

  private static final int LEAST_BLOCKS = 4;

  /** Leads are worked out for whole steps of this, whenever somebody asks: a replay agrees. */
  private static final double STILL_H = 0.25;

  private final PackPlan plan;
  private final double kneeV;
  private final int cells;
  private final ReadingSums sums;
  private final Kept kept;
  private final Bleeding bleeding;
  private final Carried carried;
  private final Knee knee;
  private boolean isOn;
  private boolean isClimbing;
  private boolean wasAtTop;
  private double mostAh;
  private double nowHours;
  private @Nullable Fitted fitted;
  private @Nullable LiftedOf lifted;
  private List<Interval> leads = List.of();
  private double leadsHours = Double.NaN;
  private double stillHours;
  private final double[] sinceBled;
  private final double[] shownOhm;
  private boolean isShown;
  private Fit.@Nullable Found found;
  private boolean isBleedTold;

  /** For a pack of which nothing is known yet. */
  public LeadEstimator(PackPlan plan, AnalysisSettings settings) {
    this.plan = plan;
    kneeV = settings.kneeMv() / 1000.0;
    cells = plan.series();
    sums = new ReadingSums(plan);
    kept = new Kept(cells, plan.ratedAh());
    bleeding = new Bleeding(settings.bleedFromMv() / 1000.0);
    carried = new Carried(cells, plan.ratedAh());
    knee = new Knee(plan);
    sinceBled = new double[cells];
    shownOhm = new double[cells];
  }

  /**
   * Takes the latest reading.
   *
   * @param unsure by how much the charge counted over the step to it is off, one standard
   *     deviation, Ah squared
   */
  public void accept(Moment m, BleedPull pull, double unsure) {
    nowHours = m.upMs() / 3_600_000.0;
    if (pull.isTold() != isBleedTold) {
      isBleedTold = pull.isTold();
      kept.reconsider();
    }
    Block block = sums.accept(m, pull, bleeding, unsure);
    boolean flows = m.flowingMa() > 0;
    if (isOn && mostAh - sums.ah() > DRAWN_SHARE * plan.ratedAh()) {
      isOn = false;
    }
    if (!isOn && flows && m.median() / 10_000.0 > LOW_SHARE * kneeV) {
      begin();
    }
    if (flows || m.phase() == Phase.HOLD) {
      mostAh = Math.max(mostAh, sums.ah());
    }
    if (block != null && isOn && !isDrawn(block) && kept.offer(block)) {
      if (!isClimbing && Fit.isClimbing(kept.all(), plan)) {
        isClimbing = true;
        kept.mark();
      }
      wasAtTop |= Arrays.stream(block.volts()).anyMatch(v -> v >= kneeV);
      step();
    } else if (Math.floor(nowHours / STILL_H) * STILL_H > stillHours) {
      step();
    }
  }

  /** From here on answers are those of this instant, whenever somebody asks. */
  private void step() {
    stillHours = Math.floor(nowHours / STILL_H) * STILL_H;
    System.arraycopy(kept.bledSince(), 0, sinceBled, 0, cells);
    leadsHours = Double.NaN;
  }

  /**
   * A load turns hysteresis and lags round: what it shows of the top is not what a charge shows.
   */
  private boolean isDrawn(Block block) {
    return block.current().now() < -DRAWN_RATE * plan.ratedAh();
  }

  private void begin() {
    if (isTelling()) {
      Pass pass = fit().pass();
      found = new Fit.Found(pass.belief().mean.clone(), pass.shift(plan.chemistry()));
      carried.take(pass, kept.last().hours());
      knee.take(pass);
    }
    Optional<double[]> joints = jointOhm();
    isShown = joints.isPresent();
    joints.ifPresent(ohm -> System.arraycopy(ohm, 0, shownOhm, 0, cells));
    isOn = true;
    isClimbing = false;
    wasAtTop = false;
    mostAh = sums.ah();
    kept.clear();
    fitted = null;
  }

  /** The charge is over: what it has shown is fitted together. */
  public void close() {
    if (cameToTop()) {
      kept.mark();
      step();
    }
  }

  /** Takes the knee as this charge has shown it so far; not where its readings fit no curve. */
  public void learnKnee() {
    if (isTelling()) {
      knee.take(fit().pass());
    }
  }

  /**
   * By how many Ah a cell at one voltage is ahead of one at another, 95 %, by this pack's own knee
   * as a charge has shown it; empty where the lower one is on the plateau or that is not known.
   *
   * @param amperes that have flowed for some minutes, positive charges
   */
  public Optional<Interval> apart(double upperMv, double lowerMv, double amperes) {
    return knee.apart(upperMv, lowerMv, amperes);
  }

  /** By how many ohm a cell, by index, may be above the usual one at the most, 95 %. */
  public double mostBeyondOhm(int cell) {
    return knee.mostBeyondOhm(cell);
  }

  /**
   * What each cell with its joints surely has beyond the median one, ohm, by the beginning of the
   * last charge that began with a steady current; 0 of one that shows none. Empty before that.
   */
  public Optional<double[]> jointOhm() {
    if (lifted == null || lifted.revision() != kept.revision() || lifted.blocks() != kept.size()) {
      lifted = new LiftedOf(Lifted.ohm(kept.all(), plan), kept.revision(), kept.size());
    }
    return lifted.ohm().or(() -> isShown ? Optional.of(shownOhm.clone()) : Optional.empty());
  }

  /** What the blocks say: fitted up to the mark, filtered on since. */
  private Fitted fit() {
    Fitted known = fitted;
    if (known == null || known.revision() != kept.revision()) {
      known = new Fitted(pass(kept.all().subList(0, kept.fitted())), kept.revision());
      fitted = known;
    }
    for (int i = known.pass().taken(); i < kept.size(); i++) {
      known.pass().take(kept.all().get(i));
    }
    return known;
  }

  /**
   * What usual values lead to; where the readings do not fit that, what leads on from the charge
   * before: curve, wires and resistances are the pack's own.
   */
  private Pass pass(List<Block> blocks) {
    Pass usual = new Fit(plan, carried, isBleedTold, blocks, null).run();
    if (found == null || isFitting(usual)) {
      return usual;
    }
    Pass again = new Fit(plan, carried, isBleedTold, blocks, found).run();
    return isFitting(again) ? again : usual;
  }

  /** Lead of each cell, Ah, first cell first; empty while nothing is known. */
  public List<Interval> leads() {
    if (stillHours != leadsHours) {
      leads = cameToTop() ? byFit(stillHours) : byLast(stillHours);
      leadsHours = stillHours;
    }
    return leads;
  }

  /**
   * Where the cells stand at a top, against each other; NaN of one that did not come to its knee.
   *
   * @param ah Ah; what counts are differences
   * @param turningAh by how much each is off, 95 %, that turns with the current and over the weeks,
   *     Ah; what its input and its capacity are off by is the same at each top
   */
  @SuppressWarnings("ArrayRecordComponent")
  public record Places(double[] ah, double[] turningAh) {}

  /** Of this charge; empty where it shows no leads. */
  public Optional<Places> places() {
    if (!isTelling()) {
      return Optional.empty();
    }
    Pass pass = fit().pass();
    long seen = pass.knees().standing();
    double[] ah = new double[cells];
    double[] turning = new double[cells];
    for (int k = 0; k < cells; k++) {
      boolean isSeen = KneeLooks.isIn(seen, k);
      double wider = isSeen ? pass.widening() : Double.NaN;
      double[] mean = pass.belief().mean;
      ah[k] = isSeen ? mean[k] - sinceBled[k] * mean[pass.bleed()] : Double.NaN;
      turning[k] = 2 * Math.sqrt(wider * pass.turning(k, seen));
    }
    return Optional.of(new Places(ah, turning));
  }

  /** True when this charge came to the top, and its cells do not fit one curve. */
  public boolean isContradicted() {
    return cameToTop() && !isFitting(fit().pass());
  }

  /**
   * Share of a lead that a switched current leaves open in this charge, one standard deviation; 0
   * where it tells no leads.
   */
  public double switched() {
    return isTelling() ? fit().pass().switched() : 0;
  }

  private boolean cameToTop() {
    return wasAtTop && kept.size() >= LEAST_BLOCKS;
  }

  /** True when this charge came to the top, and its cells fit one curve. */
  private boolean isTelling() {
    return cameToTop() && isFitting(fit().pass());
  }

  private static boolean isFitting(Pass pass) {
    return pass.belief().isFinite() && pass.chi() <= ErrorBudget.MOST_CHI;
  }

  private List<Interval> byFit(double atHours) {
    Pass pass = fit().pass();
    if (!isFitting(pass)) {
      return byLast(atHours);
    }
    if (pass.knees().all() == 0) {
      return List.of();
    }
    Drawn drawn = drawn(pass, atHours);
    return bounded(
        drawn.draws().leads(drawn.likely(), drawn.tops()),
        (pass.knees().all() | (carried.known() & ~pass.below())) & ~pass.knees().fallen());
  }

  /**
   * Hours until no cell leads by more than is allowed, 95 %, by the current of bleeding that this
   * charge has shown; open above where that may well be none. Empty where no upper bound of the
   * leads is known.
   *
   * @param allowedAh lead that may be left
   * @param duty share of the time in which a cell is bled that should be
   */
  public Optional<Interval> hours(double allowedAh, double duty) {
    boolean isBounded = !leads().isEmpty() && leads().stream().allMatch(this::isBounded);
    if (!isBounded || !isTelling()) {
      return Optional.empty();
    }
    Drawn drawn = drawn(fit().pass(), stillHours);
    return Optional.of(drawn.draws().hours(drawn.likely(), cells, allowedAh, duty));
  }

  private boolean isBounded(Interval lead) {
    return lead.high() - lead.low() <= plan.ratedAh();
  }

  /**
   * Possible places now, with the current of bleeding behind them; wider by as much as the readings
   * fit worse than usual.
   *
   * @param tops where a cell that stayed on its plateau stands at most, else NaN
   */
  @SuppressWarnings("ArrayRecordComponent")
  private record Drawn(Draws draws, double[] likely, double[] tops) {}

  private Drawn drawn(Pass pass, double atHours) {
    Belief belief = pass.belief();
    int bleed = pass.bleed();
    double wider = pass.widening() * carried.alike(pass);
    double[] likely = new double[cells + 1];
    double[][] spread = new double[cells + 1][cells + 1];
    double[] tops = new double[cells];
    for (int k = 0; k <= cells; k++) {
      int at = k < cells ? k : bleed;
      likely[k] = belief.mean[at];
      for (int j = 0; j < cells; j++) {
        spread[k][j] = wider * (k < cells ? pass.spread(k, j) : belief.covariance[at][j]);
      }
      spread[k][cells] = wider * belief.covariance[at][bleed];
    }
    for (int k = 0; k < cells; k++) {
      boolean isUnseen = carried.isKnown() && !KneeLooks.isIn(pass.knees().all(), k);
      // On its plateau a cell shows no leak: no more is known of it than before.
      spread[k][k] = Math.max(spread[k][k], isUnseen ? carried.spread(k, k, atHours) : 0);
      spread[k][k] +=
          carried.unseen(pass, k, atHours)
              + pass.lagDoubt(k) * pass.lagDoubt(k)
              + ErrorBudget.bleedWalk(sinceBled[k]);
      tops[k] = pass.top(k);
    }
    Draws draws = Draws.of(likely, spread);
    draws.take(sinceBled, cells);
    for (int k = 0; k < cells; k++) {
      likely[k] -= sinceBled[k] * likely[cells];
    }
    return new Drawn(draws, likely, tops);
  }

  /** What the last charge left, and what may have leaked unseen since; empty before the first. */
  private List<Interval> byLast(double atHours) {
    if (!carried.isKnown()) {
      return List.of();
    }
    double[] places = new double[cells];
    double[][] spread = new double[cells][cells];
    double[] tops = new double[cells];
    for (int k = 0; k < cells; k++) {
      places[k] = carried.place(k);
      tops[k] = Double.NaN;
      for (int j = 0; j < cells; j++) {
        spread[k][j] = carried.spread(k, j, atHours);
      }
    }
    return bounded(Draws.of(places, spread).leads(places, tops), carried.known());
  }

  /** A cell that was never seen in its knee may be far behind: then leads have no upper bound. */
  private List<Interval> bounded(List<Interval> found, long known) {
    return Long.bitCount(known) == cells
        ? found
        : found.stream()
            .map(i -> new Interval(i.low(), i.mid(), i.mid() + 10 * plan.ratedAh()))
            .toList();
  }

  /** Saves or restores. */
  public void state(State io) {
    io.section("lead-estimator", 9);
    sums.state(io);
    kept.state(io);
    carried.state(io);
    knee.state(io);
    isOn = io.flag(isOn);
    isClimbing = io.flag(isClimbing);
    wasAtTop = io.flag(wasAtTop);
    mostAh = io.number(mostAh);
    nowHours = io.number(nowHours);
    stillHours = io.number(stillHours);
    isBleedTold = io.flag(isBleedTold);
    found = io.orNull(found, Fit.Found.none(cells), Fit.Found::state);
    io.each(sinceBled);
    io.each(shownOhm);
    isShown = io.flag(isShown);
    if (io.isRestoring()) {
      fitted = null;
      lifted = null;
      leadsHours = Double.NaN;
    }
  }

  private record Fitted(Pass pass, int revision) {}

  private record LiftedOf(Optional<double[]> ohm, int revision, int blocks) {}
}
