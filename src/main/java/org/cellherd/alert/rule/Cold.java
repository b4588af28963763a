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

/** A cell is too cold for any use. */
final class Cold extends Rule {
  static final RuleId ID = new RuleId("cold");

  static final Rule.Kind KIND =
      Rule.Kind.of(ID, "the cells are too cold for any use.", Cold::defaults, Cold::new);

  private final double limit;
  private final double deadband;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING)
        .number("limit_c", plan.chemistry().useFloorC(), -60, 30, "a cell below")
        .number("deadband_c", 2, 0, 20, "over only this much above")
        .delays(60, 600)
        .repeatedAfter(0);
  }

  Cold(RuleSettings set) {
    super(Terms.live(set, "\u00b0C").spoiltAs(Doubt.HEAT));
    limit = set.number("limit_c");
    deadband = set.number("deadband_c");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Sensors sensors = input.sensors();
    int coldest = sensors.coldestCell();
    if (coldest == 0) {
      return;
    }
    double celsius = sensors.celsius(coldest);
    int level = celsius < limit ? 1 : 0;
    boolean inside = celsius >= limit + deadband;
    if (out.needs(0, level)) {
      out.judge(0, new Judgement(level, inside, celsius, limit, () -> words(coldest, celsius)));
    }
  }

  private Words words(int sensor, double celsius) {
    return Words.of(
        "Cells at %s (sensor %s), below %s"
            .formatted(Spoken.celsius(celsius), sensor, Spoken.celsius(limit)),
        "Warm the pack before it is used.",
        Facts.of().put("sensor", sensor).put("temp_c", celsius, 1).build());
  }
}
