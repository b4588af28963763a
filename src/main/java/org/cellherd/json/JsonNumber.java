package org.cellherd.json;

import java.math.BigDecimal;

/** Numbers of JSON (RFC 8259, section 6). */
final class JsonNumber {

  private static final double PLAIN_BELOW = 1e15;
  private static final double PLAIN_FROM = 1e-9;

  private JsonNumber() {}

  /** Plain digits without trailing zeros; an exponent only for the very large and very small. */
  static String text(Number number) {
    if (!(number instanceof Double)) {
      return number.toString();
    }
    double value = number.doubleValue();
    double size = Math.abs(value);
    if (size == 0) {
      return "0";
    }
    BigDecimal exact = BigDecimal.valueOf(value).stripTrailingZeros();
    return size >= PLAIN_FROM && size < PLAIN_BELOW ? exact.toPlainString() : exact.toString();
  }
}
