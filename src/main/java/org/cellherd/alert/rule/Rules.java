package org.cellherd.alert.rule;

import java.util.List;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.PackPlan;

/** All rules that look at the log of one pack. */
public final class Rules {

  private Rules() {}

  /** The rules of a pack in the order in which they are judged. */
  public static List<Rule> of(PackPlan plan, AlertSettings s) {
    return List.of(
        new CellHigh(s.rule(RuleId.CELL_HIGH)),
        new CellLow(s.rule(RuleId.CELL_LOW)),
        new LimitAhead(plan, s.rule(RuleId.LIMIT_AHEAD), s.rule(RuleId.RUNNER)),
        new Runner(plan, s.rule(RuleId.RUNNER)),
        new Bouncing(s.rule(RuleId.BOUNCE)),
        new Imbalance(plan, s.rule(RuleId.IMBALANCE)),
        new Spread(s.rule(RuleId.SPREAD)),
        new Hot(s.rule(RuleId.HOT)),
        new Heating(plan, s.rule(RuleId.HEATING), s.rule(RuleId.HOT).number("limit_c")),
        new Cold(s.rule(RuleId.COLD)),
        new ColdCharge(plan, s.rule(RuleId.COLD_CHARGE)),
        new ZoneCharge(
            plan, s.rule(RuleId.CHARGE_ZONE), s.rule(RuleId.COLD_CHARGE).number("warn_c")),
        new ColdMorning(s.rule(RuleId.COLD_MORNING)),
        new OverCurrent(s.rule(RuleId.OVER_CURRENT)),
        new Silent(plan, s.rule(RuleId.SILENT)),
        new Frozen(s.rule(RuleId.FROZEN)),
        new CellCount(s.rule(RuleId.CELL_COUNT)),
        new Implausible(s.rule(RuleId.IMPLAUSIBLE)),
        new EmptyAhead(s.rule(RuleId.EMPTY_AHEAD)),
        new StoredLow(plan, s.rule(RuleId.STORED_LOW)),
        new ChargeVoltage(plan, s.rule(RuleId.CHARGE_VOLTAGE)),
        new NeverFull(s.rule(RuleId.NEVER_FULL)),
        new Leak(s.rule(RuleId.LEAK)),
        new CapacityFall(s.rule(RuleId.CAPACITY)),
        new HighResistance(s.rule(RuleId.RESISTANCE)));
  }
}
