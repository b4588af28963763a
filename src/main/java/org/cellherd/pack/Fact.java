package org.cellherd.pack;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One named value of a finding or an alert, as plain data: what is written as JSON, over MQTT and
 * on the page alike. The name carries its unit ({@code spread_mv}).
 *
 * @param name key, snake case, with unit
 * @param value null when it cannot be known; else a {@link Number} ({@code Long} or {@code
 *     Double}), {@code Boolean}, {@code String}, {@link Time}, {@code Facts}, or a {@code List} of
 *     these
 */
public record Fact(String name, @Nullable Object value) {

  /** An instant, written as ISO 8601 in UTC. */
  public record Time(long ms) {}

  /**
   * Refuses values of a kind that no writer knows, and numbers that JSON cannot hold. Facts without
   * any fact in them are what cannot be known.
   */
  public Fact {
    check(name, value);
    value = value instanceof Facts facts && facts.list().isEmpty() ? null : value;
  }

  private static void check(String name, @Nullable Object value) {
    if (value instanceof Double d && !Double.isFinite(d)) {
      throw new IllegalArgumentException(name + " is " + d + ": use null for what is not known");
    }
    if (value instanceof List<?> list) {
      list.forEach(item -> check(name, item));
      return;
    }
    if (value != null
        && !(value instanceof Long
            || value instanceof Integer
            || value instanceof Double
            || value instanceof Boolean
            || value instanceof String
            || value instanceof Time
            || value instanceof Facts)) {
      throw new IllegalArgumentException(name + " has a value of " + value.getClass());
    }
  }
}
