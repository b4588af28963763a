package org.cellherd.pack;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;

/**
 * Numbers as people read them, the same in alerts, checks and reports: with a minus, which no line
 * breaks after and nobody takes for a dash. Files for machines are written elsewhere.
 */
public final class Spoken {
  /** U+2212, as wide as a plus. */
  private static final char MINUS = '\u2212';

  private Spoken() {}

  /** Millivolts as volts: 3.672 V. */
  public static String volts(double mv) {
    return number(mv / 1000, 3) + " V";
  }

  /** Millivolts of a pack as volts: 55.20 V. */
  public static String packVolts(double mv) {
    return number(mv / 1000, 2) + " V";
  }

  /** A temperature: 3.5 degC below freezing is −3.5 °C. */
  public static String celsius(double c) {
    return number(c, 1) + " \u00b0C";
  }

  /** A current: 12.3 A. */
  public static String amps(double a) {
    return number(a, 1) + " A";
  }

  /** An integer with so many decimals behind the point, without trailing zeros. */
  public static String exactly(long value, int decimals) {
    return withMinus(BigDecimal.valueOf(value, decimals).stripTrailingZeros().toPlainString());
  }

  /** A number with some decimals; what rounds to nothing is 0, not -0. */
  public static String number(double value, int decimals) {
    return rounded(value, decimals, RoundingMode.HALF_UP);
  }

  /** A number of so many significant digits, never with an exponent: 5.200, 13200. */
  public static String digits(double value, int digits) {
    BigDecimal rounded = BigDecimal.valueOf(value).round(new MathContext(digits));
    int before = rounded.precision() - rounded.scale();
    return withMinus(rounded.setScale(Math.max(0, digits - before)).toPlainString());
  }

  /** A difference with its sign; what rounds to nothing has none. */
  public static String signed(double value, int decimals) {
    String text = number(value, decimals);
    boolean isNothing = text.chars().noneMatch(c -> c >= '1' && c <= '9');
    return isNothing || value < 0 ? text : "+" + text;
  }

  /** A lower bound, rounded outward: the truth does not lie below what is said. */
  public static String low(double value, int decimals) {
    return rounded(value, decimals, RoundingMode.FLOOR);
  }

  /** An upper bound, rounded outward: the truth does not lie above what is said. */
  public static String high(double value, int decimals) {
    return rounded(value, decimals, RoundingMode.CEILING);
  }

  /** A range, both ends rounded outward: 7.2 to 9.1. */
  public static String between(double low, double high, int decimals) {
    return low(low, decimals) + " to " + high(high, decimals);
  }

  private static String rounded(double value, int decimals, RoundingMode mode) {
    return Double.isFinite(value)
        ? withMinus(BigDecimal.valueOf(value).setScale(decimals, mode).toPlainString())
        : Double.toString(value);
  }

  /** A number that was written for a machine, with the minus of people. */
  public static String withMinus(String number) {
    return number.replace('-', MINUS);
  }

  /** A value in a unit such as mV, s or Ah; empty where it is none or has no unit. */
  public static String value(double value, String unit) {
    if (!Double.isFinite(value) || unit.isEmpty()) {
      return "";
    }
    return switch (unit) {
      case "mV" -> Math.abs(value) < 1000 ? number(value, 0) + " mV" : volts(value);
      case "s" -> duration(Math.round(value * 1000));
      case "Ah" -> number(value, 2) + " Ah";
      default -> number(value, 1) + " " + unit;
    };
  }

  /** A duration in the unit that people would use: 40 s, 12 min, 3 h, 5 days. */
  public static String duration(long ms) {
    return duration(ms, RoundingMode.HALF_UP, 0);
  }

  /** The same as a lower bound, rounded down; few hours or days with a decimal. */
  public static String longerThan(long ms) {
    return duration(ms, RoundingMode.FLOOR, 1);
  }

  /** The same as an upper bound, rounded up. */
  public static String shorterThan(long ms) {
    return duration(ms, RoundingMode.CEILING, 1);
  }

  /** A number of things whose name takes an s: 1 step, 2 steps. */
  public static String counted(long number, String what) {
    return number + " " + what + (number == 1 ? "" : "s");
  }

  /** All of a duration, so that it can be reckoned with: 1 day 2 h 30 min. */
  public static String exactly(long ms) {
    Duration d = Duration.ofMillis(ms);
    List<String> parts = new ArrayList<>();
    add(parts, d.toDaysPart(), d.toDaysPart() == 1 ? "day" : "days");
    add(parts, d.toHoursPart(), "h");
    add(parts, d.toMinutesPart(), "min");
    add(parts, d.toSecondsPart(), "s");
    add(parts, d.toMillisPart(), "ms");
    return String.join(" ", parts);
  }

  private static void add(List<String> parts, long count, String unit) {
    if (count > 0) {
      parts.add(count + " " + unit);
    }
  }

  private static String duration(long ms, RoundingMode mode, int decimalsOfFew) {
    double s = ms / 1000.0;
    if (s < 120) {
      return rounded(s, 0, mode) + " s";
    }
    if (s < 2 * 3600) {
      return rounded(s / 60, 0, mode) + " min";
    }
    boolean isHours = s < 48 * 3600;
    double value = s / (isHours ? 3600 : 86_400);
    return rounded(value, value < 10 ? decimalsOfFew : 0, mode) + (isHours ? " h" : " days");
  }
}
