package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A value that somebody read off a meter while the capture ran.
 *
 * @param quantity what was measured
 * @param number of the cell or sensor, from 1
 * @param value in V, A (positive charges) or degC
 * @param atSeconds when, from the beginning of the capture; empty: throughout
 */
public record Known(Quantity quantity, int number, double value, OptionalDouble atSeconds) {

  /** What a meter tells. */
  public enum Quantity {
    CELL("V", 5),
    PACK("V", 1000),
    CURRENT("A", 10_000),
    TEMPERATURE("C", 150);

    private final String unit;
    private final double most;

    Quantity(String unit, double most) {
      this.unit = unit;
      this.most = most;
    }
  }

  private static final String FORM =
      "allowed: values such as \"cell 1 = 3.312 V, pack = 53.1 V, current = -4.2 A,"
          + " temperature 1 = 23 C\", each perhaps with a time such as \"at 35 s\" of the capture";
  private static final Pattern ONE =
      Pattern.compile(
          "(cell|temperature|pack|current)(?: ([0-9]{1,3}))? *= *(-?[0-9]{1,6}(?:\\.[0-9]{1,6})?)"
              + " *(V|mV|A|mA|C)(?: at ([0-9]{1,9}(?:\\.[0-9]{1,3})?) s)?");

  /**
   * Reads values parted by commas.
   *
   * @throws IllegalArgumentException when the text is of another form; its message says what is
   *     wrong
   */
  public static List<Known> parse(String text) {
    List<Known> all = new ArrayList<>();
    for (String part : text.split(",", -1)) {
      Matcher matcher = ONE.matcher(part.strip());
      if (!matcher.matches()) {
        throw new IllegalArgumentException("\"" + part.strip() + "\", " + FORM);
      }
      all.add(of(matcher, part.strip()));
    }
    return all;
  }

  private static Known of(Matcher matcher, String part) {
    Quantity quantity = Quantity.valueOf(matcher.group(1).toUpperCase(Locale.ROOT));
    String unit = matcher.group(4);
    boolean isSmall = unit.startsWith("m");
    double value = Double.parseDouble(matcher.group(3)) / (isSmall ? 1000 : 1);
    boolean isNumbered = quantity == Quantity.CELL || quantity == Quantity.TEMPERATURE;
    int number = matcher.group(2) == null ? 0 : Integer.parseInt(matcher.group(2));
    boolean isUnit = (isSmall ? unit.substring(1) : unit).equals(quantity.unit);
    if (!isUnit || isNumbered != number > 0 || Math.abs(value) > quantity.most) {
      throw new IllegalArgumentException("\"" + part + "\", " + FORM);
    }
    String at = matcher.group(5);
    OptionalDouble time =
        at == null ? OptionalDouble.empty() : OptionalDouble.of(Double.parseDouble(at));
    return new Known(quantity, number, value, time);
  }
}
