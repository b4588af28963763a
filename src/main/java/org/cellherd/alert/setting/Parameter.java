package org.cellherd.alert.setting;

/**
 * One number that an owner may set for a rule. The key ends in its unit: {@code _s _min _h _days
 * _mv _c _a _ah _pct _mv_per_min _c_per_min _c_rate _ratio}, or {@code _count}.
 *
 * @param key key in the file's table {@code [alert.<rule>]}
 * @param value the value that holds
 * @param low least value allowed
 * @param high greatest value allowed
 * @param meaning for people, one line
 */
public record Parameter(String key, double value, double low, double high, String meaning) {

  /** Refuses a value outside its range. */
  public Parameter {
    if (!(low <= value && value <= high)) {
      throw new IllegalArgumentException(
          key + " = " + plain(value) + ", allowed " + plain(low) + " to " + plain(high));
    }
  }

  /**
   * The same with another value.
   *
   * @throws IllegalArgumentException when the value is out of range; the message says the range
   */
  public Parameter with(double newValue) {
    return new Parameter(key, newValue, low, high, meaning);
  }

  /** A number as people write it: no trailing zeros. */
  static String plain(double value) {
    return value == Math.rint(value) && Math.abs(value) < 1e15
        ? Long.toString((long) value)
        : Double.toString(value);
  }
}
