package org.cellherd.alert.input;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.analysis.moment.Possible;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;

/**
 * The moment that rules look at: the latest entry, what the analyses know, how fast voltages and
 * temperatures move, and what happened to the charge. Belongs to the engine's thread.
 */
public final class RuleInput {
  private static final long MINUTE_MS = 60_000;
  private static final OptionalInt NOTHING_FLOWS = OptionalInt.of(0);

  private static final double TENTH_C = 10;

  /** Sensors of whole degrees are common. */
  private static final double COARSE_TENTH_C = 10;

  private final PackPlan plan;
  private final ZoneId zone;
  private final long pollMs;
  private final Trace heatTrace = new Trace(Channel.MAX_NUMBER, MINUTE_MS, TENTH_C);
  private final Trace slowHeatTrace = new Trace(Channel.MAX_NUMBER, 5 * MINUTE_MS, TENTH_C);
  private Optional<Reading> fresh = Optional.empty();
  private Optional<CellVoltages> cells = Optional.empty();
  private Optional<CellVoltages> confirmedCells = Optional.empty();
  private boolean isConfirmedKnown;
  private OptionalInt flowingMa = OptionalInt.empty();
  private Sensors sensors;
  private @Nullable LogEntry entry;
  private @Nullable Reading before;
  private @Nullable PackView view;
  private long ageMs;
  private double localHour;
  private long hourAtMinute = Long.MIN_VALUE;

  public RuleInput(PackPlan plan, AlertSettings settings) {
    this.plan = plan;
    this.zone = settings.zone();
    this.pollMs = settings.pollMs();
    this.sensors = new Sensors(plan, Temperatures.NONE);
  }

  /**
   * Takes the next entry.
   *
   * @param nextAgeMs time that passed since the engine's first entry, ms
   */
  public void take(LogEntry next, PackView now, long nextAgeMs) {
    before = entry instanceof Reading reading ? reading : null;
    entry = next;
    view = now;
    ageMs = nextAgeMs;
    look(next);
    if (next instanceof Reading reading) {
      traceHeat(reading.temperatures(), heatTrace);
      traceHeat(reading.temperatures(), slowHeatTrace);
    } else if (!(next instanceof ClockStep)) {
      heatTrace.clear();
      slowHeatTrace.clear();
    }
  }

  /** What several rules ask of a moment, worked out once. */
  private void look(LogEntry next) {
    fresh = next instanceof Reading reading ? Optional.of(reading) : Optional.empty();
    cells = ofThePlan(fresh);
    isConfirmedKnown = false;
    sensors = new Sensors(plan, fresh.map(Reading::temperatures).orElse(Temperatures.NONE));
    OptionalInt printed = fresh.isPresent() ? fresh.get().currentMa() : OptionalInt.empty();
    boolean isKnown = printed.isPresent() && Math.abs(printed.getAsInt()) > view().deadZoneMa();
    flowingMa = printed.isEmpty() || isKnown ? printed : NOTHING_FLOWS;
  }

  private void traceHeat(Temperatures all, Trace trace) {
    int slot = trace.slot(ageMs);
    for (int sensor = 1; slot >= 0 && sensor <= all.count(); sensor++) {
      trace.put(slot, sensor - 1, seen(all, sensor));
    }
  }

  /** What no sensor can read has no rate. */
  private static int seen(Temperatures all, int sensor) {
    boolean isSeen = all.has(sensor) && Possible.is(Kind.TEMPERATURE, all.tenthC(sensor));
    return isSeen ? all.tenthC(sensor) : Trace.MISSING;
  }

  public PackPlan plan() {
    return plan;
  }

  public PackView view() {
    if (view == null) {
      throw new IllegalStateException("no entry taken yet");
    }
    return view;
  }

  public LogEntry entry() {
    if (entry == null) {
      throw new IllegalStateException("no entry taken yet");
    }
    return entry;
  }

  /** Time of the latest entry, ms UTC. */
  public long timeMs() {
    return entry().timeMs();
  }

  /** Time since the engine's first entry, ms, steps of the clock taken out. */
  public long ageMs() {
    return ageMs;
  }

  /** Time between two polls, ms. */
  public long pollMs() {
    return pollMs;
  }

  /** True when a board that is polled slowly is asked faster after this reading. */
  public boolean isAskedFast() {
    return pollMs > AlertSettings.FASTEST_POLL_MS && view().phase().isAskedFast();
  }

  /** Time between two polls at the usual poll or the fast one, ms. */
  public long askedMs(boolean isFast) {
    return isFast ? Math.min(pollMs, AlertSettings.FASTEST_POLL_MS) : pollMs;
  }

  public ZonedDateTime localTime() {
    return Instant.ofEpochMilli(timeMs()).atZone(zone);
  }

  public ZoneId zone() {
    return zone;
  }

  /** Local hour with its fraction, by the minute. */
  public double localHour() {
    long minute = Math.floorDiv(timeMs(), MINUTE_MS);
    if (minute != hourAtMinute) {
      ZonedDateTime now = localTime();
      localHour = now.getHour() + now.getMinute() / 60.0;
      hourAtMinute = minute;
    }
    return localHour;
  }

  public Optional<Reading> fresh() {
    return fresh;
  }

  /** The cells of a fresh reading; empty when their number is not the plan's. */
  public Optional<CellVoltages> cells() {
    return cells;
  }

  /**
   * The same as the analyses see them: what a second reading has not confirmed is as it was before.
   * Forecasts rest on these, as they rest on rates.
   */
  public Optional<CellVoltages> confirmedCells() {
    if (!isConfirmedKnown) {
      confirmedCells = ofThePlan(fresh.isPresent() ? view().reading() : fresh);
      isConfirmedKnown = true;
    }
    return confirmedCells;
  }

  private Optional<CellVoltages> ofThePlan(Optional<Reading> reading) {
    int series = plan.series();
    CellVoltages told = reading.isPresent() ? reading.get().cells() : CellVoltages.NONE;
    if (told.countWithoutPadding(series) != series) {
      return Optional.empty();
    }
    return Optional.of(told.count() == series ? told : told.first(series));
  }

  /**
   * Current beyond the dead zone, positive charging, of a fresh reading, as it was printed: limits
   * do not wait for the next reading to confirm it.
   */
  public OptionalInt flowingMa() {
    return flowingMa;
  }

  /** The temperature sensors of a fresh reading; none without one. */
  public Sensors sensors() {
    return sensors;
  }

  /** True when a fresh reading shows a charging current. */
  public boolean isCharging() {
    return flowingMa().orElse(0) > 0;
  }

  /** True when the pack sits at its top: charging in the knee, or held there. */
  public boolean isAtTop() {
    Phase now = view().phase();
    return now == Phase.UPPER_KNEE || now == Phase.HOLD;
  }

  /** How fast a cell's voltage moves, mV a minute. */
  public OptionalDouble cellRate(int cell) {
    return view().slopeMvPerMin(cell);
  }

  /** How fast a sensor moves over one minute, degC a minute. */
  public OptionalDouble heatRate(int sensor) {
    return stepped(heatTrace, sensor, 45_000);
  }

  /** How fast a sensor moves over five minutes, degC a minute. */
  public OptionalDouble slowHeatRate(int sensor) {
    return stepped(slowHeatTrace, sensor, 4 * MINUTE_MS);
  }

  /**
   * True where a sensor of a cell was read, and none has a rate above so many degC a minute: a
   * cheap look before the rates.
   */
  public boolean isCalm(double rate) {
    Temperatures all = fresh.map(Reading::temperatures).orElse(Temperatures.NONE);
    boolean isRead = false;
    for (int sensor = 1; sensor <= all.count(); sensor++) {
      if (all.has(sensor) && plan.role(sensor) == SensorRole.CELL) {
        isRead = true;
        if (!heatTrace.isWithin(sensor - 1, rate) || !slowHeatTrace.isWithin(sensor - 1, rate)) {
          return false;
        }
      }
    }
    return isRead;
  }

  /**
   * How fast the fastest sensor of a cell warmed since the reading before, degC a minute; 0 where
   * it was not more than the step of a coarse sensor.
   */
  public double latestWarming() {
    Reading was = before;
    if (was == null || !(entry instanceof Reading now) || now.timeMs() <= was.timeMs()) {
      return 0;
    }
    Temperatures all = now.temperatures();
    double most = COARSE_TENTH_C;
    for (int sensor = 1; sensor <= all.count(); sensor++) {
      boolean isCell = plan.role(sensor) == SensorRole.CELL;
      if (isCell && seen(all, sensor) != Trace.MISSING && was.temperatures().has(sensor)) {
        most = Math.max(most, all.tenthC(sensor) - was.temperatures().tenthC(sensor));
      }
    }
    return most == COARSE_TENTH_C ? 0 : most / 10 / ((now.timeMs() - was.timeMs()) / 60_000.0);
  }

  /** One step of a coarse sensor is no rate: three are needed. */
  private static OptionalDouble stepped(Trace trace, int sensor, long spanMs) {
    return trace.slopePerMin(sensor - 1, spanMs, 3);
  }

  public void state(State io) {
    heatTrace.state(io);
    slowHeatTrace.state(io);
  }
}
