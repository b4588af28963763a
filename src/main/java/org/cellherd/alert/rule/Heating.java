package org.cellherd.alert.rule;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.stream.DoubleStream;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.input.Sensors;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Timing;
import org.cellherd.alert.state.Timing.Level;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.SensorRole;
import org.cellherd.pack.Spoken;

/**
 * A cell warms too fast: a warning over five minutes at low current, critical over one minute at
 * any current, and the signs of runaway as the last level. Rates are least-squares slopes; a sensor
 * that shows fewer than three steps has no rate.
 */
final class Heating extends Rule {
  static final RuleId ID = new RuleId("heating");

  static final Rule.Kind KIND =
      Rule.Kind.ofAll(
          ID,
          "a sensor of a cell warms too fast.",
          Heating::defaults,
          (plan, all) -> new Heating(plan, all.rule(ID), all.rule(Hot.ID).number("limit_c")));

  private static final long RUNAWAY_DELAY_MS = 3_000;

  /** After a leap the rate over one minute is to be known. */
  private static final long WATCHED_MS = 60_000;

  private final RuleSettings set;
  private final double lowA;
  private final double hotC;

  /** Where no sensor warms faster none says anything. */
  private final double calmRate;

  private long calmMv;
  private boolean asksAgain;
  private long leapAgeMs = Long.MIN_VALUE / 2;

  /** The rates are common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .number("limit_c_per_min", 5, 0.1, 100, "critical above, over one minute")
        .number("warn_c_per_min", 1, 0.05, 100, "warning above, over five minutes at low current")
        .number(
            "low_current_c_rate", 0.2, 0, 10, "low current, in times the rated capacity an hour")
        .number(
            "runaway_c_per_min",
            plan.chemistry() == Chemistry.LFP ? 30 : 60,
            1,
            600,
            "with a cell hot or its voltage fallen: leave the place")
        .number("from_c", 20, -40, 100, "colder sensors are only warming up")
        .delays(10, 300)
        .repeatedAfter(6);
  }

  Heating(PackPlan plan, RuleSettings set, double hotC) {
    super(new Terms(set.rule(), "\u00b0C/min", timing(set)).spoiltAs(Doubt.HEAT));
    this.set = set;
    this.lowA = set.number("low_current_c_rate") * plan.ratedAh();
    this.hotC = hotC;
    this.calmRate =
        0.9
            * DoubleStream.of(
                    set.number("warn_c_per_min"),
                    set.number("limit_c_per_min"),
                    set.number("runaway_c_per_min"))
                .min()
                .orElseThrow();
  }

  private static Timing timing(RuleSettings set) {
    return new Timing(
        List.of(
            new Level(Terms.milder(Priority.WARNING, set.priority()), set.ms("on_delay_s")),
            new Level(set.priority(), set.ms("on_delay_s")),
            new Level(Priority.CRITICAL, RUNAWAY_DELAY_MS)),
        set.ms("off_delay_s"),
        set.ms("repeat_h"),
        Timing.LIVE_SAMPLES);
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.latestWarming() > set.number("limit_c_per_min")) {
      leapAgeMs = input.ageMs();
    }
    asksAgain = input.ageMs() - leapAgeMs < WATCHED_MS;
    Sensors sensors = input.sensors();
    if (!out.needs(0, 0) && input.isCalm(calmRate)) {
      calmMv = lowestMv(input);
      return;
    }
    Fastest fastest = new Fastest();
    sensors.each(SensorRole.CELL, s -> fastest.take(s, input.heatRate(s), input.slowHeatRate(s)));
    if (!fastest.isKnown) {
      return;
    }
    if (fastest.rate < set.number("warn_c_per_min")) {
      calmMv = lowestMv(input);
    }
    boolean isWarm = sensors.celsius(fastest.sensor) > set.number("from_c");
    int level = isWarm ? level(fastest, sensors, input) : 0;
    double limit = set.number(level == 1 ? "warn_c_per_min" : "limit_c_per_min");
    double rate = level == 1 ? fastest.slowRate : fastest.rate;
    boolean inside = Math.max(fastest.rate, fastest.slowRate) <= set.number("warn_c_per_min") * 0.8;
    double celsius = sensors.celsius(fastest.sensor);
    if (out.needs(0, level)) {
      out.judge(
          0,
          new Judgement(
              level, inside, rate, limit, () -> words(level, fastest.sensor, rate, celsius)));
    }
  }

  @Override
  public boolean asksAgain() {
    return asksAgain;
  }

  private int level(Fastest fastest, Sensors sensors, RuleInput input) {
    Runaway signs =
        new Runaway(
            lowestMv(input) < calmMv * 3 / 4,
            sensors.celsius(sensors.hottest(SensorRole.CELL)) >= hotC,
            fastest.rate >= set.number("runaway_c_per_min"));
    if (signs.isRunaway()) {
      return 3;
    }
    if (fastest.rate > set.number("limit_c_per_min")) {
      return 2;
    }
    OptionalInt current = input.flowingMa();
    boolean isLow = current.isPresent() && Math.abs(current.getAsInt()) < lowA * 1000;
    return isLow && fastest.slowRate > set.number("warn_c_per_min") ? 1 : 0;
  }

  private static long lowestMv(RuleInput input) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    int lowest = cells.lowestCell();
    return lowest == 0 ? 0 : cells.tenthMv(lowest) / 10;
  }

  /** The sensor that warms fastest. A rate that is not known counts as none. */
  private static final class Fastest {
    private int sensor = 1;
    private double rate;
    private double slowRate;
    private boolean isKnown;

    void take(int next, OptionalDouble fast, OptionalDouble slow) {
      double fastest = fast.orElse(0);
      double slowest = slow.orElse(0);
      if (!isKnown || Math.max(fastest, slowest) > Math.max(rate, slowRate)) {
        sensor = next;
        rate = fastest;
        slowRate = slowest;
      }
      isKnown = true;
    }
  }

  private static Words words(int level, int sensor, double rate, double celsius) {
    String what =
        "Cells warm by %s \u00b0C a minute (sensor %s), now %s"
            .formatted(Spoken.number(rate, 1), sensor, Spoken.celsius(celsius));
    Facts evidence =
        Facts.of()
            .put("sensor", sensor)
            .put("rate_c_per_min", rate, 2)
            .put("temp_c", celsius, 1)
            .build();
    if (level == 3) {
      return new Words(
          what,
          "These are the signs of a cell in thermal runaway.",
          "Leave the place, warn others, call the fire service.",
          evidence);
    }
    return Words.of(
        what,
        level == 2
            ? "Stop charge and load at once and keep away from the pack."
            : "Find out what warms the cells: a loose strap, a heater, a failing cell.",
        evidence);
  }

  @Override
  public void state(State io) {
    calmMv = io.number(calmMv);
  }
}
