package org.cellherd.alert.rule;

import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.scene.Sensors;
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
final class ColdCharge implements Rule {
  private final Terms terms;
  private final double limit;
  private final double warn;
  private final double deadband;
  private final double slowA;

  ColdCharge(PackPlan plan, RuleSettings set) {
    terms = Terms.liveWithWarning(set, "\u00b0C");
    limit = set.number("limit_c");
    warn = Math.max(limit, set.number("warn_c"));
    deadband = set.number("deadband_c");
    slowA = set.number("slow_c_rate") * plan.ratedAh();
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    Sensors sensors = new Sensors(scene);
    int coldest = sensors.coldestCell();
    if (coldest == 0 || scene.flowingMa().isEmpty()) {
      return;
    }
    double celsius = sensors.celsius(coldest);
    double amps = scene.flowingMa().getAsInt() / 1000.0;
    int level = amps > 0 && celsius < limit ? 2 : amps > slowA && celsius < warn ? 1 : 0;
    boolean inside =
        amps <= 0 || celsius >= warn + deadband || (celsius >= limit + deadband && amps <= slowA);
    double floor = level == 1 ? warn : limit;
    out.judge(
        0,
        new Judgement(level, inside, celsius, floor, () -> words(coldest, celsius, floor, amps)));
  }

  private static Words words(int sensor, double celsius, double floor, double amps) {
    return Words.of(
        "Charged with "
            + Spoken.amps(amps)
            + " while cells are at "
            + Spoken.celsius(celsius)
            + " (sensor "
            + sensor
            + "), below "
            + Spoken.celsius(floor),
        "Stop the charge until the cells are warmer.",
        Facts.of()
            .put("sensor", sensor)
            .put("temp_c", celsius, 1)
            .put("current_a", amps, 2)
            .build());
  }
}
