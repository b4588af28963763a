package org.cellherd.pile;

import java.util.Locale;

/** Numbers in the sentences about a pile. */
public final class Amount {

  private Amount() {}

  /** At most three significant decimals, none that say nothing: 4, 0.25, 12.5. */
  public static String of(double value) {
    double size = Math.abs(value);
    int decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
    String text = String.format(Locale.ROOT, "%." + decimals + "f", value);
    String trimmed = text.contains(".") ? text.replaceAll("\\.?0+$", "") : text;
    return trimmed.equals("-0") ? "0" : trimmed;
  }
}
