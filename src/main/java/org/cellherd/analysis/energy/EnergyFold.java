package org.cellherd.analysis.energy;

import java.time.LocalDate;
import java.time.ZoneId;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Completed;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.flow.CellTemperatures;
import org.cellherd.analysis.flow.CountedCharge;
import org.cellherd.analysis.flow.CurrentError;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.EnergyResult;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;

/** One finding for each local day with readings, complete when the day is over. */
public final class EnergyFold implements FindingFold {
  private static final Fold.Kind KIND =
      new Fold.Kind(FindingName.ENERGY, 8, Set.of(FindingName.SOC, FindingName.CAPACITY));
  private static final int HOT_TENTH_C = 450;

  private static final double LEAST_TRIP = 0.05;

  /** The mean voltage of a discharge is the nominal one within so much (from memory). */
  private static final double MEAN_VOLTAGE_ERROR = 0.03;

  /** Tops differ by a percent or two of a pack's charge: half of it makes that small. */
  private static final double LEAST_TRIPS = 0.5;

  private final ZoneId zone;
  private final PackPlan plan;
  private final Moment moment;
  private final CountedCharge charge;
  private final CurrentError current;
  private final CellTemperatures temperatures;
  private final EnergyDay totals;
  private final ClosedDays closed = new ClosedDays();
  private final RoundTrip roundTrip;
  private final Completed completed = new Completed();

  private Optional<LocalDay> day = Optional.empty();
  private boolean isUnsure;
  private boolean isDayUnsure;
  private boolean hasReadings;
  private boolean wasAtTop;
  private long newestMs;

  public EnergyFold(PackPlan plan, AnalysisSettings settings, Moment moment) {
    this.plan = plan;
    this.zone = settings.zone();
    this.moment = moment;
    charge = new CountedCharge(plan, moment);
    current = new CurrentError(plan, settings, moment);
    totals = new EnergyDay(plan.nominalMv() / 1000.0);
    temperatures = new CellTemperatures(plan);
    double packWh = plan.ratedAh() * plan.nominalMv() / 1000.0;
    roundTrip = new RoundTrip(plan.ratedAh() * LEAST_TRIP, packWh * LEAST_TRIPS);
  }

  @Override
  public Fold.Kind kind() {
    return KIND;
  }

  @Override
  public void accept(LogEntry entry) {
    charge.accept();
    current.accept(entry);
    if (moment.flow().isAcrossGap()) {
      current.unheard(moment.flow().gapDoubtAh());
      totals.unheard(moment.flow().gapDoubtAh());
    }
    if (entry instanceof SessionStart start) {
      isUnsure = !start.clockSure();
    } else if (entry instanceof ClockStep step) {
      reDate(step);
    } else {
      take(entry);
    }
  }

  /** A day that was dated by a clock not to be trusted is dated anew when the clock is set. */
  private void reDate(ClockStep step) {
    if (isDayUnsure) {
      day = Optional.of(LocalDay.at(step.toMs(), zone));
      newestMs = step.toMs();
    }
    isUnsure = false;
    isDayUnsure = false;
  }

  private void take(LogEntry entry) {
    long now = entry.timeMs();
    LocalDay today = day.orElseGet(() -> open(now));
    Amounts step = moment.flow().amounts();
    if (now >= today.endMs()) {
      if (moment.flow().isCounted()) {
        step = finish(today.endMs(), now, (Reading) entry);
      }
      close(today);
      today = open(now);
    }
    if (entry instanceof Reading reading) {
      take(reading, step);
    } else {
      totals.breakOff();
    }
    newestMs = Math.max(newestMs, now);
  }

  private LocalDay open(long now) {
    LocalDay opened = LocalDay.at(now, zone);
    day = Optional.of(opened);
    isDayUnsure = isUnsure;
    return opened;
  }

  /** Books the part of the step that lies before midnight; the rest is for the next day. */
  private Amounts finish(long midnightMs, long now, Reading reading) {
    Amounts step = moment.flow().amounts();
    long partMs = moment.stepMs() - (now - midnightMs);
    if (partMs <= 0 || partMs >= moment.stepMs()) {
      return step;
    }
    Amounts part = moment.flow().firstPart(partMs);
    book(part, reading);
    return step.without(part);
  }

  private void take(Reading reading, Amounts step) {
    hasReadings = true;
    if (moment.flow().isCounted()) {
      book(step, reading);
      current.counted(step);
    } else {
      totals.breakOff();
      roundTrip.breakOff();
    }
    moment.socPct().ifPresent(totals::know);
    // What is stored is the same at the first instants of two tails, and nowhere else.
    boolean isAtTop = moment.chargeEnd().isTop();
    if (isAtTop && !wasAtTop) {
      current.full(moment.chargeEnd().kind());
      if (moment.chargeEnd().kind() == ChargeTermination.TAIL) {
        roundTrip.top(moment.upMs());
      }
    }
    wasAtTop = isAtTop;
  }

  private void book(Amounts step, Reading reading) {
    int coldest = temperatures.coldest(reading.temperatures());
    boolean isCold = coldest != CellTemperatures.MISSING && coldest < 0 && moment.flowingMa() > 0;
    int hottest = temperatures.hottest(reading.temperatures());
    boolean isHot = hottest > HOT_TENTH_C;
    boolean isFull = charge.isFull();
    boolean isBridged = moment.step() == Moment.Step.BRIDGED;
    totals.add(
        step,
        new EnergyDay.Conditions(
            current.latestA(),
            moment.deadZoneMa() / 1000.0,
            isFull,
            isCold,
            isBeyondZone(coldest) || isBeyondZone(hottest),
            isHot,
            isBridged));
    roundTrip.add(step);
  }

  private boolean isBeyondZone(int tenthC) {
    double rate = moment.flowingMa() / (double) plan.ratedMah();
    return tenthC != CellTemperatures.MISSING
        && rate > 0
        && plan.chemistry().sheet().chargeZone(tenthC).isExceeded(rate, moment.highest() / 10.0);
  }

  private void close(LocalDay ended) {
    if (hasReadings) {
      closed.add(
          new ClosedDays.Day(
              ended.date().toEpochDay(),
              totals.netWh(current.gain()),
              totals.drawnWh(current.gain()),
              totals.socMin(charge.capacityAh().mid()),
              totals.coveragePct(ended.lengthMs())));
      completed.add(finding(ended, ended.endMs(), ended.lengthMs(), false));
    }
    totals.clear();
    hasReadings = false;
  }

  private Finding finding(LocalDay of, long toMs, long ofMs, boolean isGoingOn) {
    EnergyResult result =
        totals
            .result(of, ofMs, charge.capacityAh().mid(), current.gain())
            .with(outlook(toMs).told());
    return new Finding(of.startMs(), toMs, result, EnergySentence.of(result, plan, isGoingOn));
  }

  private Outlook outlook(long toMs) {
    OptionalDouble sinceFull =
        charge.isKnown()
            ? OptionalDouble.of(
                Math.max(0, toMs - moment.wallMs(moment.chargeEnd().topUpMs())) / 86_400_000.0)
            : OptionalDouble.empty();
    Interval ah = charge.capacityAh();
    double volts = plan.nominalMv() / 1000.0;
    Interval capacityWh =
        new Interval(
            ah.low() * volts * (1 - MEAN_VOLTAGE_ERROR),
            ah.mid() * volts,
            ah.high() * volts * (1 + MEAN_VOLTAGE_ERROR));
    return new Outlook(
        sinceFull,
        roundTrip.pct(moment.upMs()),
        closed.netWeekWh(),
        closed.usualLoadWh(),
        capacityWh,
        closed.emptyOn());
  }

  @Override
  public void hear(Finding finding) {
    finding.result(CapacityResult.class).flatMap(CapacityResult::ah).ifPresent(charge::useCapacity);
  }

  @Override
  public List<Finding> drainCompleted() {
    return completed.drain();
  }

  @Override
  public Optional<Finding> standing() {
    return hasReadings
        ? day.filter(today -> newestMs > today.startMs())
            .map(today -> finding(today, newestMs, newestMs - today.startMs(), true))
        : Optional.empty();
  }

  @Override
  public void end() {
    day.ifPresent(this::close);
    day = Optional.empty();
  }

  @Override
  public void state(State io) {
    charge.state(io);
    current.state(io);
    totals.state(io);
    closed.state(io);
    roundTrip.state(io);
    day = io.optional(day, LocalDay.of(LocalDate.EPOCH, zone), this::dayState);
    isUnsure = io.flag(isUnsure);
    isDayUnsure = io.flag(isDayUnsure);
    hasReadings = io.flag(hasReadings);
    newestMs = io.number(newestMs);
    wasAtTop = io.flag(wasAtTop);
  }

  private LocalDay dayState(LocalDay now, State io) {
    return LocalDay.of(LocalDate.ofEpochDay(io.number(now.date().toEpochDay())), zone);
  }
}
