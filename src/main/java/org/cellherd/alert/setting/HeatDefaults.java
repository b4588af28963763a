package org.cellherd.alert.setting;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;

/**
 * Defaults of the rules on temperature. 50/60 degC of a cell, 80/100 degC of a switch and the rates
 * are common practice, no source; charging from 0 degC and discharging from -20 degC as on a common
 * pack sheet.
 */
final class HeatDefaults {

  private HeatDefaults() {}

  static RuleSettings hot() {
    return Sheet.of(RuleId.HOT, Priority.CRITICAL)
        .number("limit_c", 60, -40, 150, "a cell above: critical")
        .number("warn_c", 50, -40, 150, "a cell above: warning")
        .number("switch_limit_c", 100, -40, 200, "the board's switches above: critical")
        .number("switch_warn_c", 80, -40, 200, "the board's switches above: warning")
        .number("deadband_c", 2, 0, 20, "over only this much below")
        .delays(30, 60)
        .repeatedAfter(6);
  }

  static RuleSettings heating(PackPlan plan) {
    return Sheet.of(RuleId.HEATING, Priority.CRITICAL)
        .number("limit_c_per_min", 5, 0.1, 100, "critical above, over one minute")
        .number("warn_c_per_min", 1, 0.05, 100, "warning above, over five minutes at low current")
        .number(
            "low_current_c_rate", 0.2, 0, 10, "low current, in times the rated capacity an hour")
        .number(
            "runaway_c_per_min",
            plan.chemistry() == Chemistry.LFP ? 30 : 60,
            1,
            600,
            "with a cell hot or its voltage fallen: leave the place")
        .number("from_c", 20, -40, 100, "colder sensors are only warming up")
        .delays(10, 300)
        .repeatedAfter(6);
  }

  static RuleSettings cold(PackPlan plan) {
    return Sheet.of(RuleId.COLD, Priority.WARNING)
        .number("limit_c", plan.chemistry().useFloorC(), -60, 30, "a cell below")
        .number("deadband_c", 2, 0, 20, "over only this much above")
        .delays(60, 600)
        .repeatedAfter(0);
  }

  static RuleSettings coldCharge(PackPlan plan) {
    return Sheet.of(RuleId.COLD_CHARGE, Priority.CRITICAL)
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

  static RuleSettings chargeZone() {
    return Sheet.of(RuleId.CHARGE_ZONE, Priority.NOTE)
        .number("slack_pct", 10, 0, 100, "a rate above the table's by this much")
        .delays(1800, 24 * 3600)
        .repeatedAfter(0);
  }

  static RuleSettings coldMorning(PackPlan plan) {
    return Sheet.of(RuleId.COLD_MORNING, Priority.NOTE)
        .number(
            "limit_c", plan.chemistry().chargeFloorC() + 4, -60, 30, "in the evening, a cell below")
        .number("evening_h", 18, 12, 24, "the evening begins at this hour, local time")
        .number("deadband_c", 3, 0, 20, "over only this much above")
        .delays(600, 36 * 3600)
        .repeatedAfter(0);
  }
}
