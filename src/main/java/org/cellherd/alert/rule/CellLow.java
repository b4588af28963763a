package org.cellherd.alert.rule;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.input.Sensors;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * A cell below its lowest voltage. Where the cell's sheet allows a lower one in the frost the limit
 * follows; the warning stays where it is.
 */
public final class CellLow extends Rule {
  public static final RuleId ID = new RuleId("cell-low");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "a cell is below its lower limit; a warning comes first.",
          CellLow::defaults,
          CellLow::new);

  private static final int LFP_FROST_MV = 500;

  private final double warnMv;
  private final double limitMv;
  private final double frostLimitMv;
  private final double deadbandMv;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .cellMv("limit_mv", plan.limits().cutOffLowMv(), "critical below")
        .number(
            "frost_mv", frostMv(plan), 0, 1000, "limit lower by this while a cell is below 0 degC")
        .cellMv("warn_mv", plan.limits().warnLowMv(), "warning below")
        .number("deadband_mv", 10, 0, 500, "over only this far above the limit")
        .delays(10, 60)
        .repeatedAfter(6);
  }

  /**
   * An LFP cell may be drawn to 2.0 V below 0 °C where 2.5 V is its limit above (published data
   * sheet of a 304 Ah prismatic cell). A plan with a limit of its own keeps it at every
   * temperature.
   */
  private static int frostMv(PackPlan plan) {
    boolean isUsual = plan.limits().cutOffLowMv() == Chemistry.LFP.limits().cutOffLowMv();
    return plan.chemistry() == Chemistry.LFP && isUsual ? LFP_FROST_MV : 0;
  }

  CellLow(RuleSettings set) {
    super(Terms.liveWithWarning(set, "mV").ofACharge().spoiltAs(Doubt.VOLTAGE));
    limitMv = set.number("limit_mv");
    frostLimitMv = limitMv - set.number("frost_mv");
    warnMv = Math.max(set.number("warn_mv"), limitMv);
    deadbandMv = set.number("deadband_mv");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    double lowestMv = isFrost(input) ? frostLimitMv : limitMv;
    for (int cell = 1; cell <= cells.count(); cell++) {
      if (cells.has(cell) && out.needs(cell, level(cells.mv(cell), lowestMv))) {
        out.judge(cell, judge(cell, cells, lowestMv, input));
      }
    }
  }

  private int level(double mv, double lowestMv) {
    return mv < lowestMv ? 2 : mv < warnMv ? 1 : 0;
  }

  private static boolean isFrost(RuleInput input) {
    Sensors sensors = input.sensors();
    int coldest = sensors.coldestCell();
    return coldest != 0 && sensors.celsius(coldest) < 0;
  }

  private Judgement judge(int cell, CellVoltages cells, double lowestMv, RuleInput input) {
    double mv = cells.mv(cell);
    int level = level(mv, lowestMv);
    double limit = level == 1 ? warnMv : lowestMv;
    return new Judgement(
        level, mv >= warnMv + deadbandMv, mv, limit, () -> words(cell, mv, limit, cells, input));
  }

  private static Words words(
      int cell, double mv, double limit, CellVoltages cells, RuleInput input) {
    return Words.of(
        "Cell " + cell + " at " + Spoken.volts(mv) + ", below " + Spoken.volts(limit),
        input.flowingMa().orElse(0) < 0
            ? "Reduce or disconnect the load and charge the pack."
            : "Charge the pack slowly; a cell that was deeply discharged is not used again.",
        Facts.of()
            .put("cell_mv", mv, 1)
            .put("median_mv", cells.medianMv(), 1)
            .put("current_ma", input.flowingMa())
            .build());
  }
}
