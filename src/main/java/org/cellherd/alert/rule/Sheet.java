package org.cellherd.alert.rule;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.Parameter;
import org.cellherd.alert.setting.RuleSettings;

/** Collects the defaults of one rule; every rule has its delays and its repeat. */
final class Sheet {
  private static final double MOST_CELL_MV = 6000;
  private static final double DAY_S = 86_400;

  private final RuleId rule;
  private final Priority priority;
  private final List<Parameter> parameters = new ArrayList<>();

  private Sheet(RuleId rule, Priority priority) {
    this.rule = rule;
    this.priority = priority;
  }

  /** A sheet without numbers yet; the priority is that of the worst level. */
  public static Sheet of(RuleId rule, Priority priority) {
    return new Sheet(rule, priority);
  }

  /** How long the condition must hold, and how long it must be gone, in s. */
  public Sheet delays(double onS, double offS) {
    number("on_delay_s", onS, 0, 7 * DAY_S, "the condition must hold this long");
    return number("off_delay_s", offS, 0, 7 * DAY_S, "the condition must be gone this long");
  }

  /** A voltage of a cell. */
  public Sheet cellMv(String key, double value, String meaning) {
    return number(key, value, 0, MOST_CELL_MV, meaning);
  }

  /** One number: key with its unit, value, the least and the most allowed, and what it is. */
  public Sheet number(String key, double value, double low, double high, String meaning) {
    parameters.add(new Parameter(key, value, low, high, meaning));
    return this;
  }

  /** Below critical: told again after this many hours, never when 0. */
  public RuleSettings repeatedAfter(double hours) {
    number("repeat_h", hours, 0, 24 * 90, "a warning is repeated after this long, 0 never");
    return RuleSettings.of(rule, priority, parameters);
  }
}
