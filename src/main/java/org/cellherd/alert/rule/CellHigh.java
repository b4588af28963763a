package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/** A cell above its highest voltage. */
public final class CellHigh extends Rule {
  public static final RuleId ID = new RuleId("cell-high");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "a cell is above its upper limit; a warning comes first.",
          CellHigh::defaults,
          CellHigh::new);

  /** A charger at its voltage is no alarm: cells scatter by this much around their share. */
  private static final int CHARGE_SCATTER_MV = 20;

  private final double warnMv;
  private final double limitMv;
  private final double deadbandMv;

  /**
   * Delays of 5 s, 60 s to be over and a deadband of 10 mV are common practice, no source, in the
   * spirit of IEC 62682's starting values.
   */
  private static RuleSettings defaults(PackPlan plan) {
    CellLimits limits = plan.limits();
    int above = plan.chargeMvPerCell() + CHARGE_SCATTER_MV;
    return Sheet.of(ID, Priority.CRITICAL)
        .cellMv("limit_mv", highLimit(plan), "critical above; never below charge")
        .cellMv("warn_mv", Math.max(limits.warnHighMv(), above), "warning above")
        .number("deadband_mv", 10, 0, 500, "over only this far below the limit")
        .delays(5, 60)
        .repeatedAfter(6);
  }

  /** The plan's highest voltage, or the charger's with its scatter where that is higher. */
  static int highLimit(PackPlan plan) {
    int cutOff = plan.limits().cutOffHighMv();
    int charge = plan.chargeMvPerCell();
    return charge + CHARGE_SCATTER_MV / 2 < cutOff ? cutOff : charge + CHARGE_SCATTER_MV;
  }

  CellHigh(RuleSettings set) {
    super(Terms.liveWithWarning(set, "mV").ofACharge().spoiltAs(Doubt.VOLTAGE));
    limitMv = set.number("limit_mv");
    warnMv = Math.min(set.number("warn_mv"), limitMv);
    deadbandMv = set.number("deadband_mv");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    for (int cell = 1; cell <= cells.count(); cell++) {
      if (cells.has(cell) && out.needs(cell, level(cells.mv(cell)))) {
        out.judge(cell, judge(cell, cells, input));
      }
    }
  }

  private int level(double mv) {
    return mv > limitMv ? 2 : mv > warnMv ? 1 : 0;
  }

  private Judgement judge(int cell, CellVoltages cells, RuleInput input) {
    double mv = cells.mv(cell);
    int level = level(mv);
    double limit = level == 1 ? warnMv : limitMv;
    return new Judgement(
        level, mv <= warnMv - deadbandMv, mv, limit, () -> words(cell, mv, limit, cells, input));
  }

  private static Words words(
      int cell, double mv, double limit, CellVoltages cells, RuleInput input) {
    return Words.of(
        "Cell " + cell + " at " + Spoken.volts(mv) + ", above " + Spoken.volts(limit),
        input.isCharging()
            ? "Lower the charge current or voltage, or stop the charge."
            : "Stop the charge and measure the cells with a meter.",
        Facts.of()
            .put("cell_mv", mv, 1)
            .put("median_mv", cells.medianMv(), 1)
            .put("current_ma", input.flowingMa())
            .build());
  }
}
