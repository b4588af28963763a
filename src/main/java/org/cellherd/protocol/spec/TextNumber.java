package org.cellherd.protocol.spec;

import java.math.BigDecimal;
import java.util.Optional;

/**
 * A number as a text line writes it: decimal, or hex behind 0x.
 *
 * @param value the number, as near as a double holds it
 * @param raw its whole part to the last bit, 64 bits without a sign above 2^63 - 1; rounded where
 *     it has decimals
 * @param isWhole true when raw is the number, to the last digit
 */
record TextNumber(double value, long raw, boolean isWhole) {

  /** Longest number read, characters. */
  private static final int LONGEST = 24;

  /** What a text of up to 15 characters says, a double holds to the last digit. */
  private static final int SHORT = 15;

  /** The number; empty where the text is none. */
  static Optional<TextNumber> of(String text) {
    if (text.length() > LONGEST) {
      return Optional.empty();
    }
    if (text.matches("0[xX][0-9A-Fa-f]{1,16}")) {
      long raw = Long.parseUnsignedLong(text.substring(2), 16);
      return Optional.of(new TextNumber(unsigned(raw), raw, true));
    }
    if (!text.matches("[+-]?([0-9]+\\.?[0-9]*|\\.[0-9]+)")) {
      return Optional.empty();
    }
    double value = Double.parseDouble(text);
    long raw = Math.round(value);
    return Optional.of(
        text.length() <= SHORT ? new TextNumber(value, raw, raw == value) : exact(text, value));
  }

  private static TextNumber exact(String text, double value) {
    BigDecimal number = new BigDecimal(text);
    boolean whole = number.stripTrailingZeros().scale() <= 0;
    int bits = number.toBigInteger().bitLength();
    boolean fits = bits <= (number.signum() < 0 ? 63 : 64);
    return new TextNumber(value, number.toBigInteger().longValue(), whole && fits);
  }

  private static double unsigned(long raw) {
    return raw >= 0 ? raw : (raw >>> 1) * 2.0;
  }
}
