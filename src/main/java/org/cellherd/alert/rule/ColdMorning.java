package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.input.Sensors;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * In the evening: cells are so cold that the next morning's charge will meet them below their
 * limit. Only where the pack was charged within the last two days.
 */
final class ColdMorning extends Rule {
  static final RuleId ID = new RuleId("cold-morning");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID, "tomorrow's charge will meet cold cells.", ColdMorning::defaults, ColdMorning::new);

  private static final long RECENT_MS = 48L * 3_600_000;

  /** A sensor whose wire is broken reads so. */
  private static final double BROKEN_C = -40;

  private final double limit;
  private final double deadband;
  private final double eveningHour;
  private long chargedAgeMs = Long.MIN_VALUE / 2;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.NOTE)
        .number(
            "limit_c", plan.chemistry().chargeFloorC() + 4, -60, 30, "in the evening, a cell below")
        .number("evening_h", 18, 12, 24, "the evening begins at this hour, local time")
        .number("deadband_c", 3, 0, 20, "over only this much above")
        .delays(600, 36 * 3600)
        .repeatedAfter(0);
  }

  ColdMorning(RuleSettings set) {
    super(Terms.live(set, "\u00b0C"));
    limit = set.number("limit_c");
    deadband = set.number("deadband_c");
    eveningHour = set.number("evening_h");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    if (input.isCharging()) {
      chargedAgeMs = input.ageMs();
    }
    Sensors sensors = input.sensors();
    int coldest = sensors.coldestCell();
    if (coldest == 0) {
      return;
    }
    double celsius = sensors.celsius(coldest);
    if (celsius <= BROKEN_C) {
      return;
    }
    boolean willCharge = input.ageMs() - chargedAgeMs <= RECENT_MS;
    int level = willCharge && celsius < limit && input.localHour() >= eveningHour ? 1 : 0;
    boolean inside = celsius >= limit + deadband;
    if (out.needs(0, level)) {
      out.judge(0, new Judgement(level, inside, celsius, limit, () -> words(coldest, celsius)));
    }
  }

  private static Words words(int sensor, double celsius) {
    return Words.of(
        "Cells at %s (sensor %s) this evening, the morning's charge may meet them too cold"
            .formatted(Spoken.celsius(celsius), sensor),
        "Warm the pack, or hold back the charge until it is warmer.",
        Facts.of().put("sensor", sensor).put("temp_c", celsius, 1).build());
  }

  @Override
  public void state(State io) {
    chargedAgeMs = io.number(chargedAgeMs);
  }
}
