package org.cellherd.alert.rule;

import java.util.List;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.pack.PackPlan;

/** All rules that look at one pack. */
public final class Rules {

  private Rules() {}

  /** The rules of a pack in the order in which they are judged. */
  public static List<Rule> of(PackPlan plan, AlertSettings settings) {
    return List.of(
        new CellHigh(settings.rule(RuleId.CELL_HIGH)),
        new CellLow(settings.rule(RuleId.CELL_LOW)),
        new CellCount(settings.rule(RuleId.CELL_COUNT)));
  }
}
