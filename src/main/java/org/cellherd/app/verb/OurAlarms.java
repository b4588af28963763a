package org.cellherd.app.verb;

import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.Hot;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.Parameter;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.setpoint.SetPoints;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.PackPlan;

/** The levels at which our alerts first come, which plans and set-points are held against. */
final class OurAlarms {

  private OurAlarms() {}

  static PlanAudit.Alarms of(AlertSettings alerts) {
    RuleSettings high = alerts.rule(CellHigh.ID);
    RuleSettings low = alerts.rule(CellLow.ID);
    return new PlanAudit.Alarms(
        Math.min(high.number("warn_mv"), high.number("limit_mv")),
        Math.max(low.number("warn_mv"), low.number("limit_mv")));
  }

  /** The same for another plan of the same pack: what the owner set stays, defaults follow. */
  static SetPoints.Watch watch(PackConfig pack, PackPlan plan) {
    AlertSettings usual = Rules.defaults(pack.plan());
    AlertSettings then = Rules.defaults(plan);
    for (RuleSettings set : pack.alerts().all()) {
      RuleSettings changed = then.rule(set.rule());
      for (Parameter number : set.parameters()) {
        String key = number.key();
        if (number.value() != usual.rule(set.rule()).number(key)) {
          changed = changed.with(key, number.value());
        }
      }
      then = then.with(changed);
    }
    return new SetPoints.Watch(of(then), then.rule(Hot.ID).number("warn_c"));
  }
}
