package org.cellherd.alert.setting;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.pack.PackPlan;

/** Defaults of the rules on days and seasons. All from common practice, no source. */
final class SeasonDefaults {

  private SeasonDefaults() {}

  static RuleSettings emptyAhead() {
    return Sheet.of(RuleId.EMPTY_AHEAD, Priority.WARNING)
        .number("sun_back_h", 8, 0, 24, "hour of the morning, local time, when charging begins")
        .number("evening_h", 17, 12, 24, "the night begins at this hour, local time")
        .number("margin_h", 0.5, 0, 12, "warns when empty so much before the sun")
        .number("deadband_h", 1, 0, 12, "over only when it lasts this much longer")
        .delays(900, 1800)
        .repeatedAfter(0);
  }

  static RuleSettings storedLow() {
    return Sheet.of(RuleId.STORED_LOW, Priority.WARNING)
        .number("limit_days", 21, 1, 365, "a resting pack reaches its cut-off sooner")
        .number("deadband_days", 5, 0, 365, "over only this much later")
        .number("rest_h", 48, 1, 720, "looked at after so long a rest")
        .delays(3600, 3600)
        .repeatedAfter(72);
  }

  static RuleSettings chargeVoltage() {
    return Sheet.of(RuleId.CHARGE_VOLTAGE, Priority.WARNING)
        .number("limit_mv", 20, 2, 500, "a cell's share differs from the habit by more")
        .number("habit_count", 5, 3, 8, "so many charges make a habit")
        .delays(0, 0)
        .repeatedAfter(0);
  }

  static RuleSettings neverFull(PackPlan plan) {
    return Sheet.of(RuleId.NEVER_FULL, Priority.NOTE)
        .number("limit_days", 14, 1, 365, "not truly full for longer")
        .delays(0, 0)
        .repeatedAfter(0)
        .withEnabled(!plan.partialCharge());
  }

  static RuleSettings leak() {
    return Sheet.of(RuleId.LEAK, Priority.WARNING).delays(0, 7 * 86_400).repeatedAfter(168);
  }

  static RuleSettings capacity() {
    return Sheet.of(RuleId.CAPACITY, Priority.NOTE)
        .number("limit_pct", 90, 10, 100, "of the first accepted capacity")
        .number("deadband_pct", 2, 0, 20, "over only this much above")
        .delays(0, 0)
        .repeatedAfter(0);
  }

  static RuleSettings resistance() {
    return Sheet.of(RuleId.RESISTANCE, Priority.NOTE).delays(0, 0).repeatedAfter(0);
  }

  static RuleSettings bankShare() {
    return Sheet.of(RuleId.BANK_SHARE, Priority.WARNING)
        .number("limit_pct", 50, 5, 200, "a pack's share differs from its fair share by more")
        .number("deadband_pct", 10, 0, 50, "over only this much nearer")
        .number("least_current_c_rate", 0.05, 0, 10, "judged above this current of the bank")
        .number("apart_mv", 50, 1, 2000, "a cell's share of the difference to the bus")
        .delays(300, 300)
        .repeatedAfter(24);
  }
}
