package org.cellherd.report.plot;

import java.math.BigDecimal;
import java.math.MathContext;
import org.cellherd.pack.Spoken;

/** Numbers beside plots. */
final class LinePlotNumbers {

  private LinePlotNumbers() {}

  /** Three digits that count, no exponent. */
  static String plain(double value) {
    return Spoken.withMinus(
        BigDecimal.valueOf(value).round(new MathContext(3)).stripTrailingZeros().toPlainString());
  }
}
