package org.cellherd.sim;

import java.util.List;
import org.cellherd.toml.TomlTable;

/**
 * A number of a scenario: fixed, or drawn by the seed from between two ends; on a logarithmic scale
 * where the ends are more than five times apart.
 *
 * @param low lower end
 * @param high upper end
 */
record Drawn(double low, double high) {

  private static final double LOGARITHMIC_FROM = 5;

  public static Drawn fixed(double value) {
    return new Drawn(value, value);
  }

  /** Reads {@code key = 3} or {@code key = [2, 4]}; the default where the key is absent. */
  static Drawn read(TomlTable table, String key, double least, double most, double value) {
    if (!table.has(key)) {
      return fixed(value);
    }
    if (!table.isList(key)) {
      return fixed(table.decimal(key, least, most, value));
    }
    List<Double> ends = table.decimals(key, least, most);
    if (ends.size() != 2 || ends.get(0) > ends.get(1)) {
      table.problem(key, "allowed: a number, or two numbers [lower, upper] to draw between");
      return fixed(value);
    }
    return new Drawn(ends.get(0), ends.get(1));
  }

  double draw(Chance chance) {
    if (low == high) {
      return low;
    }
    double part = chance.unit(0);
    if (low > 0 && high > LOGARITHMIC_FROM * low) {
      return low * Math.pow(high / low, part);
    }
    return low + (high - low) * part;
  }
}
