package org.cellherd.analysis.balance;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.FoldKind;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Watches the top balance of a pack: lead of each cell in Ah, bleed, forecast, verdict; completes a
 * finding at the end of each charge that came to the top. Belongs to one thread.
 */
public final class BalanceFold implements FindingFold {
  private static final FoldKind KIND = FoldKind.of(FindingName.BALANCE, 28);

  /** Slow parts of a cell's resistance come within a quarter of an hour or so (from memory). */
  private static final double SLOW_MS = 15 * 60_000.0;

  private static final double HALVES_PER_AH = Flow.CHARGE_PER_MAH * 1000.0;

  private final BalanceParts parts;
  private final Moment moment;
  private final Completed completed = new Completed();
  private long netHalves;
  private double samplingSquared;
  private boolean isNewCharge;
  private long topUpMs;
  private double topCountAh;
  private double topSpreadMv;
  private double topHighestMv;
  private int topHighestCell;
  private Function<FindingName, Optional<Finding>> others = name -> Optional.empty();

  /** A fold that has seen nothing. */
  public BalanceFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.parts = new BalanceParts(plan, settings, moment);
    this.moment = moment;
  }

  /** Also asks other analyses why the cells are apart, by what they tell at that time. */
  public void alsoAsk(Function<FindingName, Optional<Finding>> whatOthersTell) {
    others = whatOthersTell;
  }

  @Override
  public FoldKind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    if (parts.episode.isOver(moment, countAh())) {
      closeCharge();
    }
    if (!(entry instanceof Reading reading)) {
      return;
    }
    boolean isCounted = moment.flow().isCounted();
    double unsure = isCounted ? moment.flow().amounts().samplingSquared() : 0;
    if (isCounted) {
      netHalves += moment.flow().amounts().net();
      samplingSquared += unsure;
    }
    if (moment.present() > 0) {
      take(reading, unsure);
    }
  }

  private double countAh() {
    return netHalves / HALVES_PER_AH;
  }

  private void take(Reading reading, double unsure) {
    double count = countAh();
    boolean isCharging = moment.flowingMa() > 0 || moment.phase() == Phase.HOLD;
    boolean wasActive = parts.episode.isActive();
    parts.episode.accept(moment, count);
    if (parts.episode.isActive() && !wasActive) {
      isNewCharge = true;
      parts.levelling.begin();
    }
    parts.pull.accept(moment, reading);
    parts.estimator.accept(moment, parts.pull, unsure);
    parts.smoothed.accept(moment, count, parts.pull);
    parts.watchSteady();
    boolean isLearned = parts.path.accept(moment) && moment.isComplete();
    if (isLearned && parts.episode.wasAtTop() && !isCharging) {
      remember(parts.finder.leads(parts.minute.all(), top()));
    }
    parts.bleedTimes.accept(moment, parts.pull, isCharging);
    parts.phases.accept(moment);
    if (parts.episode.isActive() && parts.trips.accept(moment, reading, count)) {
      parts.episode.tripped();
      parts.watch.breakLines();
    }
    if (isCharging) {
      topCountAh = parts.smoothed.count();
      topUpMs = moment.upMs();
      cross();
    }
    if (parts.minute.accept(moment, parts.pull)) {
      closeMinute(isCharging);
    }
  }

  private void cross() {
    SmoothedCells s = parts.smoothed;
    int lowest = parts.crossings.lowestMv();
    for (int i = 0; i < moment.series(); i++) {
      if (s.mv(i) < lowest || moment.cell(i + 1) == Moment.MISSING) {
        continue;
      }
      for (int level = 0; level < parts.crossings.levels(); level++) {
        if (s.rose(i, parts.crossings.levelMv(level)) && isBeyondPlateau(i, level)) {
          note(i, level);
        }
      }
    }
  }

  /** A level that only the current lifts a cell to lies on the plateau and tells nothing. */
  private boolean isBeyondPlateau(int cell, int level) {
    double ohm = parts.path.ohm() + Math.max(0, parts.path.beyondOhm(cell));
    double lift = Math.max(0, parts.smoothed.current()) * ohm * 1000;
    return parts.crossings.levelMv(level) - lift >= parts.settings.blindToMv();
  }

  private void note(int cell, int level) {
    if (isNewCharge) {
      isNewCharge = false;
      parts.crossings.clear();
      parts.trips.clear();
      parts.watch.begin();
    }
    SmoothedCells s = parts.smoothed;
    boolean isSettled =
        s.isSteady() && moment.flowingMa() > 0 && parts.steadyMs() >= BalanceParts.SETTLE_MS;
    Crossing crossing =
        new Crossing(
            moment.upMs(),
            s.countAt(cell, parts.crossings.levelMv(level)),
            s.current(),
            isSettled ? s.slope(cell) : 0,
            isSettled,
            Math.exp(-parts.steadyMs() / SLOW_MS),
            parts.bleedTimes.bledMs(cell),
            parts.episode.heldMs(),
            parts.episode.lostAh(),
            samplingSquared);
    if (parts.crossings.note(cell, level, crossing)) {
      parts.map.learn(parts.crossings, cell, level);
    }
  }

  private void closeMinute(boolean isCharging) {
    MinuteBlock minute = parts.minute;
    parts.phases.acceptMinute(moment.phase(), minute);
    if (moment.isComplete()) {
      parts.compare(minute);
    }
    boolean isAtTop = isCharging && parts.isAtKnee(minute);
    if (isAtTop && moment.isComplete()) {
      atTop(minute);
    } else if (!parts.isBouncing() && !parts.isBledAtRest(minute)) {
      parts.watch.away(minute.closedUpMs(), parts.isLeftUneven(minute));
    }
    if (!isAtTop && parts.episode.isStanding(moment, countAh()) && moment.isComplete()) {
      watchFallen(minute);
    }
  }

  /** While the pack stands, cells that have left their knee are where no crossing tells. */
  private void watchFallen(MinuteBlock minute) {
    double[] mv = minute.all();
    for (int i = 0; i < moment.series(); i++) {
      if (parts.finder.hasFallen(i, mv, minute.closedUpMs())) {
        parts.leads.fell(i);
      }
    }
  }

  private void atTop(MinuteBlock minute) {
    double amperes = minute.meanCurrent();
    boolean isQuiet = parts.isQuiet(amperes);
    Top top = top();
    double[] mv = minute.all();
    List<Lead> leads =
        isQuiet ? parts.finder.leadsAtTop(mv, amperes, top) : parts.finder.leads(mv, top);
    remember(leads);
    Estimate knee = parts.finder.byKnee(minute.highestMv(), minute.lowestMv(), amperes);
    topSpreadMv = minute.spread();
    topHighestMv = minute.highestMv();
    topHighestCell = minute.highest() + 1;
    parts.watch.atTop(
        new Progress.Minute(
            minute.closedUpMs(),
            minute.spread(),
            minute.mean(),
            knee,
            isQuiet,
            minute.spread() <= nearMv() && parts.isEvenByCharge(),
            parts.isBleedExpected(minute),
            minute.isTelling()));
    if (parts.watch.state() == BalanceView.State.BALANCED) {
      parts.lastBalancedUpMs = minute.closedUpMs();
      parts.levelling.balanced(minute.closedUpMs());
    }
  }

  /** Above it nobody asks whether the charge is even. */
  private int nearMv() {
    return parts.settings.balancedMv() + AnalysisSettings.BOARD_FLOOR_MV;
  }

  private void remember(List<Lead> leads) {
    if (!leads.isEmpty()) {
      parts.leads.set(leads, parts.minute.closedUpMs(), parts.bledHours(moment.series()));
      parts.levelling.take(parts.leadsThen());
    }
  }

  private Top top() {
    return new Top(
        topUpMs,
        topCountAh,
        Estimate.of(parts.bleedA()),
        parts.episode.heldMs(),
        moment.deadZoneMa() / 1000.0,
        samplingSquared);
  }

  private void closeCharge() {
    if (parts.episode.wasAtTop()) {
      parts.history.add(
          parts.episode.lastTopUpMs(),
          parts.leads.leads(),
          parts.bledHours(moment.series()),
          parts.bleedA());
      completed.add(fullCharge());
      parts.rememberTop();
    }
    parts.episode.close();
    parts.watch.away(moment.upMs(), false);
  }

  private Finding fullCharge() {
    return new FullChargeReport(parts, moment).finding(topSpreadMv, topHighestMv, topHighestCell);
  }

  /** What is known now. */
  public BalanceView view() {
    return new BalanceReport(parts, moment).view();
  }

  /** The verdict of {@link #view} alone. */
  public BalanceView.State verdict() {
    return moment.reading().isEmpty() ? BalanceView.State.UNKNOWN : parts.watch.state();
  }

  /** The one of {@link #view} alone. */
  public Optional<BalanceView.LastTop> lastTop() {
    return moment.reading().isEmpty() ? Optional.empty() : Optional.ofNullable(parts.lastTop());
  }

  /** Trips of this charge; empty below two. */
  public Optional<Bounce> bounce() {
    return parts.episode.isActive() ? parts.trips.bounce(moment) : Optional.empty();
  }

  @Override
  public List<Finding> drainCompleted() {
    return completed.drain();
  }

  @Override
  public Optional<Finding> standing() {
    return new BalanceReport(parts, moment).finding(others);
  }

  @Override
  public void end() {
    if (parts.episode.isActive()) {
      closeCharge();
    }
  }

  @Override
  public void state(State io) {
    netHalves = io.number(netHalves);
    samplingSquared = io.number(samplingSquared);
    isNewCharge = io.flag(isNewCharge);
    topUpMs = io.number(topUpMs);
    topCountAh = io.number(topCountAh);
    topSpreadMv = io.number(topSpreadMv);
    topHighestMv = io.number(topHighestMv);
    topHighestCell = io.number(topHighestCell);
    parts.state(io);
  }
}
