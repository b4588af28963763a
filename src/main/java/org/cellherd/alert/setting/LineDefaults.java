package org.cellherd.alert.setting;

import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;

/** Defaults of the rules on the board, the line and the program itself. */
final class LineDefaults {

  private LineDefaults() {}

  static RuleSettings silent() {
    return Sheet.of(RuleId.SILENT, Priority.CRITICAL)
        .number(
            "missed_count",
            3,
            1,
            1000,
            "charging at the top: critical after so many of its own paces")
        .number("warn_s", 120, 1, 86_400, "otherwise a warning after this long")
        .number("asleep_rest_h", 2, 0, 240, "after so long a rest: only a note, asleep?")
        .delays(0, 0)
        .repeatedAfter(6);
  }

  static RuleSettings frozen() {
    return Sheet.of(RuleId.FROZEN, Priority.CRITICAL)
        .number("knee_s", 120, 10, 86_400, "charging in the knee, nothing changes: critical")
        .number("limit_min", 30, 1, 10_000, "otherwise, nothing changes: warning")
        .number("noise_ratio", 10, 1, 1000, "and so many times longer than ever before")
        .delays(0, 0)
        .repeatedAfter(24);
  }

  static RuleSettings cellCount() {
    return Sheet.of(RuleId.CELL_COUNT, Priority.CRITICAL).delays(30, 60).repeatedAfter(6);
  }

  static RuleSettings wrongBoard() {
    return Sheet.of(RuleId.WRONG_BOARD, Priority.CRITICAL).delays(0, 0).repeatedAfter(6);
  }

  static RuleSettings implausible() {
    return Sheet.of(RuleId.IMPLAUSIBLE, Priority.CRITICAL).delays(60, 600).repeatedAfter(24);
  }

  static RuleSettings store() {
    return Sheet.of(RuleId.STORE, Priority.WARNING).delays(0, 0).repeatedAfter(6);
  }

  static RuleSettings restarted() {
    return Sheet.of(RuleId.RESTARTED, Priority.WARNING).delays(0, 0).repeatedAfter(0);
  }

  static RuleSettings test() {
    return Sheet.of(RuleId.TEST, Priority.NOTE).delays(0, 0).repeatedAfter(0);
  }
}
