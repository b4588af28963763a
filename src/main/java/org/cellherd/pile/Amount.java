package org.cellherd.pile;

import org.cellherd.pack.Spoken;

/** Numbers in the sentences about a pile. */
final class Amount {

  private Amount() {}

  /** At most three significant decimals, none that say nothing: 4, 0.25, 12.5. */
  public static String of(double value) {
    return trimmed(Spoken.number(value, decimals(value)));
  }

  /** A lower bound, rounded down. */
  public static String low(double value) {
    return trimmed(Spoken.low(value, decimals(value)));
  }

  /** A range, both ends rounded outward. */
  public static String between(double low, double high) {
    return low(low) + " to " + trimmed(Spoken.high(high, decimals(high)));
  }

  private static int decimals(double value) {
    double size = Math.abs(value);
    return size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  }

  private static String trimmed(String text) {
    return text.contains(".") ? text.replaceAll("\\.?0+$", "") : text;
  }
}
