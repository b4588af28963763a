package org.cellherd.report.plot;

import java.math.BigDecimal;
import java.math.MathContext;

/** Numbers beside plots. */
final class LinePlotNumbers {

  private LinePlotNumbers() {}

  /** Three digits that count, no exponent. */
  static String plain(double value) {
    return BigDecimal.valueOf(value)
        .round(new MathContext(3))
        .stripTrailingZeros()
        .toPlainString()
        .replace('-', '\u2212');
  }
}
