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
import org.cellherd.analysis.BalanceView.LastTop;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.estimate.BleedPull;
import org.cellherd.analysis.estimate.LeadEstimator;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/** What the balance fold is made of, and the questions that need several of its parts. */
final class BalanceParts {
  /** A current that has been steady so long has settled the voltages well enough. */
  static final long SETTLE_MS = 3 * 60_000L;

  private static final long BOUNCE_MS = 30 * 60_000L;
  private static final double LEAST_DUTY = 0.05;
  private static final long LEAST_WANTED_MS = 30 * 60_000L;

  /** Half a percent of the pack is what capacity tests differ by (common practice, no source). */
  private static final double EVEN_SHARE = 0.005;

  /** A lead that is open by more of the rated charge says nothing of another. */
  private static final double OPEN_SHARE = 0.05;

  /**
   * Without a plateau the model's error is one of the curve's scale, a share of all leads alike
   * which no surprise shows: there counted charge is heard as long as it says anything.
   */
  private static final double OPEN_SLOPED_SHARE = 0.2;

  private static final double UNKNOWN_ALLOWED_AH_PER_AH = 0.0008;

  final PackPlan plan;
  final AnalysisSettings settings;
  final Moment moment;
  final SmoothedCells smoothed;
  final Crossings crossings;
  final KneeMap map;
  final BleedPull pull;
  final BleedTimes bleedTimes;
  final PathResistance path;
  final Trips trips;
  final ChargeEpisode episode;
  final MinuteBlock minute;
  final Progress watch;
  final LeadFinder finder;
  final LeadTable leads;
  final LeadEstimator estimator;
  final LeadHistory history;
  final Levelling levelling = new Levelling();
  final PhaseStatistics phases;
  final FlatRuns runs;
  final JointSteps steps;

  long lastBalancedUpMs = -1;
  private long steadySinceMs = -1;
  private BalanceView.@Nullable State lastTopState;
  private long lastTopUpMs;
  private @Nullable Apart lastTopApart;

  BalanceParts(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.settings = settings;
    this.moment = moment;
    int cells = plan.series();
    smoothed = new SmoothedCells(cells);
    crossings = new Crossings(cells, settings.crossingMv());
    map = new KneeMap(crossings);
    pull = new BleedPull(plan, settings.bleedFromMv());
    bleedTimes = new BleedTimes(cells, settings);
    path = new PathResistance(plan, settings);
    trips = new Trips(plan, settings.kneeMv());
    episode = new ChargeEpisode(plan, settings);
    minute = new MinuteBlock(cells);
    watch = new Progress(plan, settings);
    finder =
        new LeadFinder(
            crossings,
            map,
            bleedTimes,
            path,
            new LeadFinder.Scale(cells, plan.ratedAh(), settings.blindToMv()));
    leads = new LeadTable(cells, plan.ratedAh());
    estimator = new LeadEstimator(plan, settings);
    history = new LeadHistory(cells);
    phases = new PhaseStatistics(cells);
    runs = new FlatRuns(plan);
    steps = new JointSteps(plan);
  }

  /** How long the current has been steady; called once a reading while cells cross levels. */
  long steadyMs() {
    return steadySinceMs < 0 ? 0 : moment.upMs() - steadySinceMs;
  }

  /** Takes note whether the current is steady. */
  void watchSteady() {
    if (!smoothed.isSteady() || moment.flowingMa() <= 0 || !moment.isJoined()) {
      steadySinceMs = -1;
    } else if (steadySinceMs < 0) {
      steadySinceMs = moment.upMs();
    }
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

  /** Lead that a balanced spread allows above the lowest cell, by the same knee as the lead, Ah. */
  double allowedAh() {
    double lowest = minute.lowestMv();
    Estimate knee = finder.byKnee(lowest + settings.balancedMv(), lowest, minute.meanCurrent());
    return knee == null ? UNKNOWN_ALLOWED_AH_PER_AH * plan.ratedAh() : knee.mid();
  }

  /**
   * Leads as model and crossings give them together. Each errs where the other does not: the model
   * where a board bleeds odd and even cells in turn without telling, the crossings of cold cells at
   * a high rate. So neither is believed alone where both have bounds; where the readings contradict
   * the model the crossings speak, and where they are open the model does. Without a plateau a cell
   * of much resistance does not give itself away: there the model is silent until the current has
   * faded, and the crossings speak.
   */
  List<Lead> leadsNow() {
    return leads.told(found());
  }

  private boolean isSloped() {
    return !plan.chemistry().plateau().isFlat();
  }

  private List<Lead> found() {
    List<Interval> found = estimator.leads();
    if (found.isEmpty()) {
      return isSloped() || estimator.isContradicted() ? leadsByCrossings() : List.of();
    }
    List<Lead> crossed = crossed();
    return allowed(together(found, crossed));
  }

  private List<Lead> together(List<Interval> found, List<Lead> crossed) {
    return IntStream.range(0, found.size())
        .mapToObj(i -> new Lead(i + 1, both(found.get(i), i + 1, crossed)))
        .toList();
  }

  private Interval both(Interval found, int cell, List<Lead> crossed) {
    Interval other =
        crossed.stream().filter(l -> l.cell() == cell).map(Lead::ah).findAny().orElse(found);
    if (found.high() - found.low() > plan.ratedAh()) {
      return other;
    }
    double open = isSloped() ? OPEN_SLOPED_SHARE : OPEN_SHARE;
    return other.high() - other.low() > open * plan.ratedAh()
        ? found
        : new Interval(
            Math.min(found.low(), other.low()), other.mid(), Math.max(found.high(), other.high()));
  }

  /** Leads of the last measurement by crossings, with what has changed since. */
  private List<Lead> leadsByCrossings() {
    return allowed(crossed());
  }

  private List<Lead> crossed() {
    return leads.leads(moment.upMs(), bledHours(moment.series()), Estimate.of(bleedA()));
  }

  private List<Lead> allowed(List<Lead> found) {
    return isSloped() ? MirroredCells.allow(found, runs) : found;
  }

  /** Leads as they were when they were measured last. */
  List<Lead> leadsThen() {
    return leads.told(allowed(leads.leads()));
  }

  /** True when by the upper bounds no cell leads by more than no owner would notice. */
  boolean isEvenByCharge() {
    List<Lead> now = leadsByCrossings();
    double allowed = EVEN_SHARE * plan.ratedAh();
    return now.size() == plan.series() && now.stream().allMatch(l -> l.ah().high() <= allowed);
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

  /**
   * The lead that a forecast counts down: by crossings, whose errors its bounds are made for. Its
   * lower bound is at most the greatest that is told: where all leads may be none, by the model or
   * by a sense wire that is off, the pack may be balanced now.
   */
  @Nullable Lead toBleed() {
    Lead crossed = greatest(leadsByCrossings());
    Lead most = crossed == null ? greatest(found()) : crossed;
    if (most == null) {
      return null;
    }
    Lead lead = leads.told(List.of(most)).get(0);
    double told = leadsNow().stream().mapToDouble(l -> l.ah().low()).max().orElse(0);
    Interval ah = lead.ah();
    return new Lead(lead.cell(), new Interval(Math.min(ah.low(), told), ah.mid(), ah.high()));
  }

  private static @Nullable Lead greatest(List<Lead> leads) {
    return leads.stream().max(Comparator.comparingDouble(l -> l.ah().mid())).orElse(null);
  }

  /** How long each cell was bled so far, h. */
  double[] bledHours(int cells) {
    return IntStream.range(0, cells).mapToDouble(i -> bleedTimes.bledMs(i) / 3_600_000.0).toArray();
  }

  /**
   * By what current a cell was bled while {@link #bledHours} ran, A; from 0 where neither flags nor
   * the plan tell that the board bleeds, for it may not do so at all: the hours are then those of a
   * board that does as most do, and steps of voltages and falls of leads, by which it is seen, come
   * of clouds and of cells that relax, too.
   */
  Interval bleedA() {
    BleedRate rate = rate();
    double planned = plan.board().map(b -> b.bleedMa().orElse(0)).orElse(0) / 1000.0;
    if (pull.isTold() && planned > 0) {
      return new Estimate(planned, BleedRate.TOLERANCE * planned).interval();
    }
    Interval amperes = rate.whileBooked(duty()).interval();
    if (pull.isTold() || planned > 0) {
      return amperes;
    }
    double most = rate.isSeen() ? amperes.high() : rate.decline().interval().high();
    return new Interval(0, most / 2, most);
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
    smoothed.state(io);
    crossings.state(io);
    map.state(io);
    pull.state(io);
    bleedTimes.state(io);
    path.state(io);
    trips.state(io);
    episode.state(io);
    minute.state(io);
    watch.state(io);
    leads.state(io);
    estimator.state(io);
    history.state(io);
    levelling.state(io);
    phases.state(io);
    runs.state(io);
    steps.state(io);
    lastBalancedUpMs = io.number(lastBalancedUpMs);
    steadySinceMs = io.number(steadySinceMs);
    lastTopUpMs = io.number(lastTopUpMs);
    lastTopState = io.orNull(lastTopState, BalanceView.State.UNKNOWN, (top, s) -> s.constant(top));
    lastTopApart = io.orNull(lastTopApart, Levelling.NOT_APART, Levelling::state);
  }
}
