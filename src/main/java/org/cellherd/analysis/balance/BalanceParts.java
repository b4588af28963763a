package org.cellherd.analysis.balance;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.IntStream;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Apart;
import org.cellherd.analysis.BalanceView.Joint;
import org.cellherd.analysis.BalanceView.LastTop;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.BalanceView.Levelled;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.estimate.BleedPull;
import org.cellherd.analysis.estimate.LeadEstimator;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.CellGrowth;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** What the balance fold is made of, and the questions that need several of its parts. */
final class BalanceParts {
  private static final long BOUNCE_MS = 30 * 60_000L;
  private static final double LEAST_DUTY = 0.05;

  /** Of two cells either may be the odd one. */
  private static final int LEAST_CELLS = 3;

  private static final long LEAST_WANTED_MS = 30 * 60_000L;

  /** Half a percent of the pack is what capacity tests differ by (common practice, no source). */
  private static final double EVEN_SHARE = 0.005;

  /** A share of the pack from which on a width says that nothing is known. */
  private static final double UNKNOWN_SHARE = 0.5;

  private static final double UNKNOWN_ALLOWED_AH_PER_AH = 0.0008;

  final PackPlan plan;
  final AnalysisSettings settings;
  final Moment moment;
  final BleedPull pull;
  final BleedTimes bleedTimes;
  final Trips trips;
  final ChargeEpisode episode;
  final MinuteBlock minute;
  final Progress watch;
  final LeadEstimator estimator;
  final LeadHistory history;
  final Levelling levelling;
  final PhaseStatistics phases;
  final FlatRuns runs;
  final JointSteps steps;

  long lastBalancedUpMs = -1;
  private BalanceView.@Nullable State lastTopState;
  private long lastTopUpMs;
  private @Nullable Apart lastTopApart;

  BalanceParts(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.settings = settings;
    this.moment = moment;
    int cells = plan.series();
    pull = new BleedPull(plan, settings.bleedFromMv());
    bleedTimes = new BleedTimes(cells, settings);
    trips = new Trips(plan, settings.kneeMv());
    episode = new ChargeEpisode(plan, settings);
    minute = new MinuteBlock(cells);
    watch = new Progress(plan, settings);
    estimator = new LeadEstimator(plan, settings);
    history = new LeadHistory(cells);
    levelling = new Levelling(cells);
    phases = new PhaseStatistics(cells);
    runs = new FlatRuns(plan);
    steps = new JointSteps(plan);
  }

  /** Learns what wires and joints do while the median cell is between the knees. */
  void compare(MinuteBlock block) {
    double median = block.median();
    if (median > settings.lowKneeMv() && median < settings.kneeMv()) {
      steps.accept(block);
      runs.accept(block, steps.ohm());
    }
  }

  boolean isAtKnee(MinuteBlock block) {
    return block.highestMv() >= settings.kneeMv();
  }

  /** True when at most the tail current flows, or none that the board prints. */
  boolean isQuiet(double amperes) {
    return Math.abs(amperes) * 1000 <= Math.max(plan.tailMa(), moment.deadZoneMa());
  }

  /** True when the leader stands where boards bleed. */
  boolean isBleedExpected(MinuteBlock block) {
    boolean isHigh = block.highestMv() >= settings.bleedFromMv();
    boolean isBled = !pull.isKnown() || bleedTimes.duty() > 0;
    return isHigh && isBled && block.spread() > settings.balancedMv();
  }

  /** True while trips follow each other, between them too. */
  boolean isBouncing() {
    return trips.all() >= 2 && moment.upMs() - trips.lastUpMs() <= BOUNCE_MS;
  }

  /** True while the board bleeds a cell at the knee though no charge flows: the balance goes on. */
  boolean isBledAtRest(MinuteBlock block) {
    return episode.wasAtTop()
        && isAtKnee(block)
        && pull.mask() != 0
        && block.spread() > settings.balancedMv();
  }

  /** True soon after a top that left the cells apart, with nothing flowing that could mend it. */
  boolean isLeftUneven(MinuteBlock block) {
    return episode.wasAtTop()
        && moment.flowingMa() == 0
        && isAtKnee(block)
        && block.spread() > settings.balancedMv() + AnalysisSettings.BOARD_FLOOR_MV;
  }

  /** Share of time in which the leader bleeds; empty while that is neither told nor seen. */
  OptionalDouble duty() {
    double duty = bleedTimes.duty();
    return pull.isKnown() && duty > LEAST_DUTY ? OptionalDouble.of(duty) : OptionalDouble.empty();
  }

  BleedRate rate() {
    return BleedRate.best(
        watch.lead(),
        trips,
        duty(),
        plan.board().map(b -> b.bleedMa()).orElse(OptionalInt.empty()));
  }

  /** By how many Ah two voltages at the top are apart, by the pack's own knee. */
  Optional<Interval> apart(double upperMv, double lowerMv, double amperes) {
    return estimator.apart(upperMv, lowerMv, amperes);
  }

  /** Lead that a balanced spread allows above the lowest cell, by the same knee as the lead, Ah. */
  double allowedAh() {
    double lowest = minute.lowestMv();
    return apart(lowest + settings.balancedMv(), lowest, minute.meanCurrent())
        .map(Interval::mid)
        .orElse(UNKNOWN_ALLOWED_AH_PER_AH * plan.ratedAh());
  }

  /** Leads by the model of the charge; empty while it knows none. */
  List<Lead> leadsNow() {
    return told(found());
  }

  private List<Lead> found() {
    List<Interval> found = estimator.leads();
    List<Lead> leads =
        IntStream.range(0, found.size()).mapToObj(i -> new Lead(i + 1, found.get(i))).toList();
    boolean isSloped = !plan.chemistry().plateau().isFlat();
    return isSloped ? MirroredCells.allow(leads, runs) : leads;
  }

  /**
   * The same leads; of one whose bounds lie so far apart that its upper one says nothing, and so
   * neither does the middle, only the lower one.
   */
  private List<Lead> told(List<Lead> found) {
    double open = UNKNOWN_SHARE * plan.ratedAh();
    return found.stream()
        .map(l -> l.ah().high() - l.ah().low() < open ? l : new Lead(l.cell(), atLeast(l.ah())))
        .toList();
  }

  private static Interval atLeast(Interval ah) {
    return new Interval(ah.low(), ah.low(), Double.POSITIVE_INFINITY);
  }

  /** Bad joints, as the last charge that began with a steady current shows; empty before it. */
  Optional<List<Joint>> joints() {
    return estimator
        .jointOhm()
        .filter(ohm -> ohm.length >= LEAST_CELLS)
        .map(
            ohm ->
                IntStream.range(0, ohm.length)
                    .filter(i -> ohm[i] > 0)
                    .mapToObj(i -> new Joint(i + 1, ohm[i]))
                    .toList());
  }

  /** True when by the upper bounds no cell leads by more than no owner would notice. */
  boolean isEvenByCharge() {
    List<Lead> now = leadsNow();
    double allowed = EVEN_SHARE * plan.ratedAh();
    return !now.isEmpty() && now.stream().allMatch(l -> l.ah().high() <= allowed);
  }

  /** True when a spread that is balanced is one by more than the board's error, or by charge. */
  boolean isSurelyEven() {
    int sure = settings.balancedMv() - AnalysisSettings.BOARD_FLOOR_MV;
    return watch.smoothMv() <= sure || isEvenByCharge();
  }

  /** By how much the mean cell is below the voltage that it is charged to, mV. */
  double belowChargeMv() {
    return plan.chargeMvPerCell() - moment.sum() / 10.0 / Math.max(1, moment.present());
  }

  /** Hours until the leads are what balance allows, by the model of the charge. */
  Optional<Interval> hoursByModel() {
    return pull.isTold() && !isBledLately()
        ? Optional.empty()
        : estimator.hours(allowedAh(), pull.isTold() ? duty().orElse(1) : 1);
  }

  /** True when the board has said within half an hour that it bleeds a cell. */
  private boolean isBledLately() {
    return bleedTimes.lastUpMs() >= 0 && moment.upMs() - bleedTimes.lastUpMs() <= LEAST_WANTED_MS;
  }

  /** How long balance will have to be held once the spread is even: by what the leads will be. */
  long holdMs(Lead most) {
    double left = Math.min(most.ah().mid(), allowedAh()) + most.ah().high() - most.ah().mid();
    return left <= EVEN_SHARE * plan.ratedAh()
        ? Math.min(Progress.SHORT_HOLD_MS, settings.balancedHoldMs())
        : settings.balancedHoldMs();
  }

  /** True where it is known that nothing is bled, though a cell stands where it should be. */
  boolean isNotBled() {
    return pull.isKnown()
        && bleedTimes.wantedMs() >= LEAST_WANTED_MS
        && bleedTimes.duty() <= LEAST_DUTY;
  }

  /** The lead that a forecast counts down; null while none is known. */
  @Nullable Lead toBleed() {
    return found().stream()
        .max(Comparator.comparingDouble(l -> l.ah().mid()))
        .map(most -> told(List.of(most)).get(0))
        .orElse(null);
  }

  /** How long each cell was bled so far, h. */
  double[] bledHours(int cells) {
    return IntStream.range(0, cells).mapToDouble(i -> bleedTimes.bledMs(i) / 3_600_000.0).toArray();
  }

  /**
   * By what current a cell was bled while {@link #bledHours} ran, A: what the plan says, else what
   * boards bleed, for steps of voltages and falls of leads, by which it is seen, come of clouds and
   * of cells that relax, too; from 0 where nobody tells that the board bleeds at all: the hours are
   * then those of a board that does as most do.
   */
  Interval bleedA() {
    double planned = plan.board().map(b -> b.bleedMa().orElse(0)).orElse(0) / 1000.0;
    if (pull.isTold() && planned > 0) {
      return new Estimate(planned, BleedRate.TOLERANCE * planned).interval();
    }
    if (planned > 0) {
      return rate().whileBooked(duty()).interval();
    }
    return pull.isTold()
        ? BleedRate.BOARDS_A
        : new Interval(0, BleedRate.BOARDS_A.high() / 2, BleedRate.BOARDS_A.high());
  }

  /**
   * How the cells' leads grow beside bleeding; none while it is not known how long each is bled.
   */
  List<CellGrowth> cellGrowth() {
    return bleedTimes.missesTurns() ? List.of() : history.cellGrowth();
  }

  /** Keeps how far apart the cells are now, before they are bled further. */
  void keepApart() {
    levelling.take(leadsNow(), bledHours(plan.series()), bleedA());
  }

  /** What this charge did to the balance. */
  Levelled levelled() {
    List<Lead> leads = episode.wasAtTop() ? leadsNow() : List.of();
    return levelling.view(moment, leads, bledHours(plan.series()), bleedA());
  }

  /** Verdict of this charge: balanced when it ever was. */
  BalanceView.State verdict() {
    boolean wasBalanced = lastBalancedUpMs >= episode.startUpMs() && lastBalancedUpMs >= 0;
    return wasBalanced ? BalanceView.State.BALANCED : watch.atTopState();
  }

  void rememberTop() {
    lastTopState = verdict();
    lastTopUpMs = episode.lastTopUpMs();
    // Leads as they are known later are another thing.
    lastTopApart = endedApart().map(OutlierCell::apart).orElse(null);
  }

  /** The cell that stands apart now, as a charge ends; nothing where none does for sure. */
  Optional<OutlierCell> endedApart() {
    return OutlierCell.of(leadsNow())
        .filter(a -> a.ah().low() > 0 && BalanceWords.isTelling(a.ah()));
  }

  @Nullable LastTop lastTop() {
    return lastTopState == null
        ? null
        : new LastTop(lastTopState, moment.wallMs(lastTopUpMs), Optional.ofNullable(lastTopApart));
  }

  void state(State io) {
    pull.state(io);
    bleedTimes.state(io);
    trips.state(io);
    episode.state(io);
    minute.state(io);
    watch.state(io);
    estimator.state(io);
    history.state(io);
    levelling.state(io);
    phases.state(io);
    runs.state(io);
    steps.state(io);
    lastBalancedUpMs = io.number(lastBalancedUpMs);
    lastTopUpMs = io.number(lastTopUpMs);
    lastTopState = io.orNull(lastTopState, BalanceView.State.UNKNOWN, (top, s) -> s.constant(top));
    lastTopApart = io.orNull(lastTopApart, Levelling.NOT_APART, Levelling::state);
  }
}
