package org.cellherd.analysis.meter;

import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Accuracy of a meter as its sheet states it: a share of the reading and a constant.
 *
 * @param percent share of the reading, %, 0 to 20
 * @param constant constant part, in the unit of the reading, not negative
 */
public record Accuracy(double percent, double constant) {

  /** A meter worse than this narrows nothing. */
  private static final double MOST_PERCENT = 20;

  private static final Pattern TERM =
      Pattern.compile("([0-9]{1,6}(?:\\.[0-9]{1,6})?)\\s*(%|mV|V|mA|A|mAh|Ah|Wh|degC|\u00b0C)");

  /** Refuses what is no accuracy. */
  public Accuracy {
    if (!(percent >= 0 && percent <= MOST_PERCENT && constant >= 0 && percent + constant > 0)) {
      throw new IllegalArgumentException(
          "an accuracy is more than nothing and no share above " + plain(MOST_PERCENT) + " %");
    }
  }

  /** By how much the meter may be wrong at a value, in the value's unit. */
  public double errorAt(double value) {
    return Math.abs(value) * percent / 100 + constant;
  }

  /**
   * The accuracy that a text states, as {@code 0.5 % + 2 mV} or {@code 1.5 %}.
   *
   * @param unit the unit of the reading
   * @throws IllegalArgumentException with what would be right
   */
  public static Accuracy of(String text, String unit) {
    double percent = 0;
    double constant = 0;
    for (String part : text.strip().split("\\s*\\+\\s*", -1)) {
      Matcher term = TERM.matcher(part);
      if (!term.matches()) {
        throw wrong(text, unit);
      }
      double value = Double.parseDouble(term.group(1));
      if (term.group(2).equals("%")) {
        percent += value;
      } else {
        constant +=
            value * scale(term.group(2).replace('\u00b0', 'd').replace("dC", "degC"), unit, text);
      }
    }
    return new Accuracy(percent, constant);
  }

  private static double scale(String given, String unit, String text) {
    if (given.equals(unit)) {
      return 1;
    }
    if (given.equals("m" + unit)) {
      return 0.001;
    }
    throw wrong(text, unit);
  }

  private static IllegalArgumentException wrong(String text, String unit) {
    return new IllegalArgumentException(
        "\"" + text + "\" is no accuracy; write it as on the meter's sheet: 0.5 % + 0.02 " + unit);
  }

  /** As {@link #of} reads it. */
  public String text(String unit) {
    String share = plain(percent) + " %";
    String fixed = plain(constant) + " " + unit;
    if (constant == 0) {
      return share;
    }
    return percent == 0 ? fixed : share + " + " + fixed;
  }

  static String plain(double value) {
    String text = String.format(Locale.ROOT, "%.6f", value);
    return text.replaceAll("\\.?0+$", "");
  }
}
