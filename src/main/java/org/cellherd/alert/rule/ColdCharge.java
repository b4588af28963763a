package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.input.Sensors;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * Charged while too cold: any charge beyond the dead zone below the limit, more than a slow charge
 * in the next five degrees. Only sensors that touch a cell count, the coldest of them.
 */
public final class ColdCharge extends Rule {
  public static final RuleId ID = new RuleId("cold-charge");

  static final Rule.Kind KIND =
      Rule.Kind.ofPlan(
          ID, "charging while a cell is too cold.", ColdCharge::defaults, ColdCharge::new);

  private final double limit;
  private final double warn;
  private final double deadband;
  private final double slowA;

  /** Charging from the chemistry's floor, 0 degC with LFP as on a common pack sheet. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .number("limit_c", plan.chemistry().chargeFloorC(), -60, 30, "any charge below is critical")
        .number(
            "warn_c",
            plan.chemistry().chargeFloorC() + 5,
            -60,
            40,
            "more than the slow rate below: warning")
        .number("slow_c_rate", 0.1, 0, 10, "slow rate, in times the rated capacity an hour")
        .number("deadband_c", 1, 0, 20, "over only this much above")
        .delays(60, 900)
        .repeatedAfter(6);
  }

  ColdCharge(PackPlan plan, RuleSettings set) {
    super(Terms.liveWithWarning(set, "\u00b0C").spoiltAs(Doubt.HEAT));
    limit = set.number("limit_c");
    warn = Math.max(limit, set.number("warn_c"));
    deadband = set.number("deadband_c");
    slowA = set.number("slow_c_rate") * plan.ratedAh();
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Sensors sensors = input.sensors();
    int coldest = sensors.coldestCell();
    if (coldest == 0 || input.flowingMa().isEmpty()) {
      return;
    }
    double celsius = sensors.celsius(coldest);
    double amps = input.flowingMa().getAsInt() / 1000.0;
    int level = amps > 0 && celsius < limit ? 2 : amps > slowA && celsius < warn ? 1 : 0;
    boolean inside =
        amps <= 0 || celsius >= warn + deadband || (celsius >= limit + deadband && amps <= slowA);
    double floor = level == 1 ? warn : limit;
    if (out.needs(0, level)) {
      out.judge(
          0,
          new Judgement(level, inside, celsius, floor, () -> words(coldest, celsius, floor, amps)));
    }
  }

  private static Words words(int sensor, double celsius, double floor, double amps) {
    return Words.of(
        "Charging at %s with cells at %s (sensor %s), below %s"
            .formatted(Spoken.amps(amps), Spoken.celsius(celsius), sensor, Spoken.celsius(floor)),
        "Stop the charge until the cells are warmer.",
        Facts.of()
            .put("sensor", sensor)
            .put("temp_c", celsius, 1)
            .put("current_a", amps, 2)
            .build());
  }
}
