package org.cellherd.protocol;

import java.math.BigInteger;

/** Reads a decimal number into a whole number of smallest units, by hand for speed. One thread. */
final class CsvNumber {

  /** Most digits before the point: more would not fit a long with its decimals. */
  private static final int MOST_DIGITS = 18;

  private long value;
  private boolean rounded;

  /** The number times 10^decimals, rounded to the nearest, halves away from 0. */
  long value() {
    return value;
  }

  /** True when digits were lost. */
  boolean isRounded() {
    return rounded;
  }

  /** Reads a sign, digits and a decimal mark; false when the text is no such number. */
  boolean parse(char[] text, int from, int to, int decimals, char mark) {
    int at = from;
    boolean negative = false;
    rounded = false;
    if (at < to && (text[at] == '-' || text[at] == '+')) {
      negative = text[at++] == '-';
    }
    long number = 0;
    int digits = 0;
    int places = -1;
    boolean roundUp = false;
    for (; at < to; at++) {
      char c = text[at];
      if (c == mark && places < 0) {
        places = 0;
        continue;
      }
      if (c < '0' || c > '9') {
        return false;
      }
      digits++;
      if (places >= decimals) {
        roundUp |= places == decimals && c >= '5';
        rounded |= c != '0';
      } else if (number > 0 || c != '0') {
        number = 10 * number + (c - '0');
        if (number > 922_337_203_685_477_579L || digits > 10 * MOST_DIGITS) {
          return hugeButExact(text, from, to, decimals);
        }
      }
      places += places >= 0 ? 1 : 0;
    }
    for (int p = Math.max(places, 0); p < decimals; p++) {
      if (number > 922_337_203_685_477_579L) {
        return false;
      }
      number *= 10;
    }
    value = (roundUp ? number + 1 : number) * (negative ? -1 : 1);
    return digits > 0;
  }

  /** A mask may use all 64 bits: 20 digits, which the fast way cannot check. */
  private boolean hugeButExact(char[] text, int from, int to, int decimals) {
    String digits = new String(text, from, to - from);
    if (decimals != 0 || digits.length() > 20 || !digits.matches("[0-9]{1,20}")) {
      return false;
    }
    BigInteger exact = new BigInteger(digits);
    if (exact.bitLength() > 64) {
      return false;
    }
    value = exact.longValue();
    return true;
  }
}
