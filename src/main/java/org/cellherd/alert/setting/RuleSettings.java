package org.cellherd.alert.setting;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;

/**
 * What holds for one rule: the table {@code [alert.<rule>]} of a file. Besides its numbers a rule
 * can be switched off ({@code enabled = false}) and its priority can be changed ({@code priority =
 * "warning"}). Immutable.
 */
public final class RuleSettings {
  private final RuleId rule;
  private final boolean enabled;
  private final Priority priority;
  private final Map<String, Parameter> parameters;

  private RuleSettings(
      RuleId rule, boolean enabled, Priority priority, Map<String, Parameter> parameters) {
    this.rule = rule;
    this.enabled = enabled;
    this.priority = priority;
    this.parameters = parameters;
  }

  /** Settings that are switched on. */
  public static RuleSettings of(RuleId rule, Priority priority, List<Parameter> parameters) {
    Map<String, Parameter> map = new LinkedHashMap<>();
    parameters.forEach(p -> map.put(p.key(), p));
    return new RuleSettings(rule, true, priority, map);
  }

  public RuleId rule() {
    return rule;
  }

  /** Name of the rule's table in a file, such as {@code cell_high}. */
  public String table() {
    return rule.word().replace('-', '_');
  }

  /** False when the owner switched the rule off. */
  public boolean enabled() {
    return enabled;
  }

  /** Priority of the rule's highest level. */
  public Priority priority() {
    return priority;
  }

  /** All numbers with their ranges and meanings, in the order of the documentation. */
  public List<Parameter> parameters() {
    return List.copyOf(parameters.values());
  }

  /** True when the rule has a number of this key. */
  public boolean has(String key) {
    return parameters.containsKey(key);
  }

  /** The number of a key, in the unit that the key names. */
  public double number(String key) {
    return parameter(key).value();
  }

  /** The number of a key whose unit is a time ({@code _s _min _h _days}), in ms. */
  public long ms(String key) {
    return Math.round(number(key) * msOf(key));
  }

  private static long msOf(String key) {
    if (key.endsWith("_s")) {
      return 1000;
    }
    if (key.endsWith("_min")) {
      return 60_000;
    }
    if (key.endsWith("_h")) {
      return 3_600_000;
    }
    if (key.endsWith("_days")) {
      return 86_400_000;
    }
    throw new IllegalArgumentException(key + " is no time");
  }

  /**
   * The same with another number.
   *
   * @throws IllegalArgumentException when the rule has no such key or the value is out of range
   */
  public RuleSettings with(String key, double value) {
    Map<String, Parameter> map = new LinkedHashMap<>(parameters);
    map.put(key, parameter(key).with(value));
    return new RuleSettings(rule, enabled, priority, map);
  }

  public RuleSettings withEnabled(boolean value) {
    return new RuleSettings(rule, value, priority, parameters);
  }

  public RuleSettings withPriority(Priority value) {
    return new RuleSettings(rule, enabled, value, parameters);
  }

  private Parameter parameter(String key) {
    Parameter found = parameters.get(key);
    if (found == null) {
      throw new IllegalArgumentException(
          "rule " + table() + " has no key " + key + ", it has " + parameters.keySet());
    }
    return found;
  }
}
