package org.cellherd.alert.rule;

import org.cellherd.alert.scene.Scene;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/** A cell above its highest voltage. */
final class CellHigh implements Rule {
  private final Terms terms;
  private final double warnMv;
  private final double limitMv;
  private final double deadbandMv;

  CellHigh(RuleSettings set) {
    terms = Terms.liveWithWarning(set, "mV").ofACharge();
    limitMv = set.number("limit_mv");
    warnMv = Math.min(set.number("warn_mv"), limitMv);
    deadbandMv = set.number("deadband_mv");
  }

  @Override
  public Terms terms() {
    return terms;
  }

  @Override
  public void judge(Scene scene, Verdicts out) {
    CellVoltages cells = scene.cells().orElse(CellVoltages.NONE);
    cells.each(cell -> out.judge(cell, judge(cell, cells, scene)));
  }

  private Judgement judge(int cell, CellVoltages cells, Scene scene) {
    double mv = cells.mv(cell);
    int level = mv > limitMv ? 2 : mv > warnMv ? 1 : 0;
    double limit = level == 1 ? warnMv : limitMv;
    return new Judgement(
        level, mv <= warnMv - deadbandMv, mv, limit, () -> words(cell, mv, limit, cells, scene));
  }

  private static Words words(int cell, double mv, double limit, CellVoltages cells, Scene scene) {
    return Words.of(
        "Cell " + cell + " at " + Spoken.volts(mv) + ", above " + Spoken.volts(limit),
        scene.isCharging()
            ? "Lower the charge current or voltage, or stop the charge."
            : "Stop the charge and look which cell it is with a meter.",
        Facts.of()
            .put("cell_mv", mv, 1)
            .put("median_mv", cells.medianMv(), 1)
            .put("current_ma", scene.flowingMa())
            .build());
  }
}
