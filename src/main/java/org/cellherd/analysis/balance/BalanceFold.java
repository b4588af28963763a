package org.cellherd.analysis.balance;

import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.jspecify.annotations.Nullable;

/**
 * Watches the top balance of a pack: lead of each cell in Ah, bleed, forecast, verdict; completes a
 * finding at the end of each charge that came to the top. Belongs to one thread.
 */
public final class BalanceFold implements FindingFold {
  private static final Fold.Kind KIND = Fold.Kind.of(FindingName.BALANCE, 39);

  private static final long LEVEL_MS = 3_600_000;

  private static final double HALVES_PER_AH = Flow.CHARGE_PER_MAH * 1000.0;

  private final BalanceParts parts;
  private final Moment moment;
  private final Completed completed = new Completed();
  private long netHalves;
  private boolean isNewCharge;
  private double topSpreadMv;
  private double topHighestMv;
  private int topHighestCell;
  private long levelledUpMs = -LEVEL_MS;
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
  public Fold.Kind kind() {
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
      parts.levelling.begin(parts.bledHours(moment.series()));
    }
    parts.pull.accept(moment, reading);
    parts.estimator.accept(moment, parts.pull, unsure);
    parts.bleedTimes.accept(moment, parts.pull, isCharging);
    parts.phases.accept(moment);
    if (parts.episode.isActive() && parts.trips.accept(moment, reading, count)) {
      parts.episode.tripped();
      parts.watch.breakLines();
    }
    if (isNewCharge && isCharging && moment.highest() >= 10 * parts.settings.kneeMv()) {
      isNewCharge = false;
      parts.trips.clear();
      parts.watch.begin();
    }
    if (parts.minute.accept(moment, parts.pull)) {
      closeMinute(isCharging);
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
  }

  private void atTop(MinuteBlock minute) {
    double amperes = minute.meanCurrent();
    boolean isQuiet = parts.isQuiet(amperes);
    level(minute.closedUpMs());
    topSpreadMv = minute.spread();
    topHighestMv = minute.highestMv();
    topHighestCell = minute.highest() + 1;
    parts.watch.atTop(
        new Progress.Minute(
            minute.closedUpMs(),
            minute.spread(),
            minute.mean(),
            isQuiet ? apart(minute, amperes) : null,
            isQuiet,
            () -> minute.spread() <= nearMv() && parts.isEvenByCharge(),
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

  /** The greatest lead by the pack's own knee; null while no charge has shown that. */
  private @Nullable Estimate apart(MinuteBlock minute, double amperes) {
    Optional<Interval> ah = parts.apart(minute.highestMv(), minute.lowestMv(), amperes);
    if (ah.isEmpty() && parts.watch.lead().count() == 0) {
      parts.estimator.learnKnee();
      ah = parts.apart(minute.highestMv(), minute.lowestMv(), amperes);
    }
    return ah.map(Estimate::of).orElse(null);
  }

  /** Once an hour at the top; before that a view looks at the leads of its own instant. */
  private void level(long upMs) {
    if (levelledUpMs < parts.episode.startUpMs()) {
      levelledUpMs = upMs;
    } else if (upMs - levelledUpMs >= LEVEL_MS) {
      levelledUpMs = upMs;
      parts.keepApart();
    }
  }

  private void closeCharge() {
    if (parts.episode.wasAtTop()) {
      parts.estimator.close();
      parts.keepApart();
      parts
          .estimator
          .places()
          .ifPresent(
              places ->
                  parts.history.add(
                      parts.episode.lastTopUpMs(),
                      parts.leadsNow(),
                      places,
                      parts.bledHours(moment.series()),
                      parts.bleedA()));
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

  /** Bad joints, as the last charge that began with a steady current shows; empty before it. */
  public Optional<List<BalanceView.Joint>> joints() {
    return parts.joints();
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
    isNewCharge = io.flag(isNewCharge);
    topSpreadMv = io.number(topSpreadMv);
    topHighestMv = io.number(topHighestMv);
    topHighestCell = io.number(topHighestCell);
    levelledUpMs = io.number(levelledUpMs);
    parts.state(io);
  }
}
