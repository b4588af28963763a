package org.cellherd.store.codec;

/**
 * Codes whole numbers that are mostly near zero, such as what a prediction missed by. Contexts are
 * those of one group of channels, chosen by how far the predictions were off lately and by where
 * between two whole numbers the prediction lay.
 */
final class Residuals {

  private static final int SCALES = 16;
  private static final int PLACES = 8;
  private static final int STEPS = 20;
  private static final int LENGTHS = 65;

  private static final int SIGN = SCALES * PLACES;
  private static final int UNARY = 2 * SIGN;
  private static final int LOW = UNARY + SCALES * 2 * (STEPS + 1);
  private static final int COARSE_SIGN = LOW + 2;
  private static final int ESCAPE = COARSE_SIGN + 1;
  private static final int START = ESCAPE + LENGTHS;

  /** Contexts of one group. */
  static final int CONTEXTS = START + LENGTHS + 1;

  private final BitCoder coder;
  private final int base;

  /** Codes with the contexts from {@code base}. */
  Residuals(BitCoder coder, int base) {
    this.coder = coder;
    this.base = base;
  }

  /**
   * Codes a residual.
   *
   * @param value what to write; ignored when reading
   * @param fraction how far the prediction lay above the number it was rounded to, -0.5 to 0.5
   * @param scale how far predictions were off lately, on average
   */
  long code(long value, double fraction, double scale) {
    if (scale < 4) {
      return fine(value, fraction, scaleIndex(scale));
    }
    int lowBits = Math.min(40, Math.getExponent(scale) - 1);
    return coarse(value, lowBits, scaleIndex(scale / (1L << lowBits)));
  }

  /** Half octaves of the scale. */
  private static int scaleIndex(double scale) {
    return Math.max(0, Math.min(SCALES - 1, Math.getExponent(scale * scale) + 10));
  }

  private long fine(long value, double fraction, int scale) {
    int place = Math.max(0, Math.min(PLACES - 1, (int) ((fraction + 0.5) * PLACES)));
    int context = base + scale * PLACES + place;
    if (coder.code(context, value == 0 ? 1 : 0) != 0) {
      return 0;
    }
    int negative = coder.code(context + SIGN, value < 0 ? 1 : 0);
    int towards = (negative != 0) == (fraction < 0) ? 1 : 0;
    long magnitude = steps((negative != 0 ? -value : value) - 1, scale * 2 + towards) + 1;
    return negative != 0 ? -magnitude : magnitude;
  }

  private long coarse(long value, int lowBits, int scale) {
    boolean below = value < 0;
    long size = below ? -value : value;
    long magnitude = steps(size >>> lowBits, scale * 2);
    for (int bit = lowBits - 1; bit >= 0; bit--) {
      int wanted = (int) (size >>> bit) & 1;
      boolean top = bit == lowBits - 1;
      magnitude =
          (magnitude << 1)
              | (top
                  ? coder.code(base + LOW + (magnitude == 0 ? 0 : 1), wanted)
                  : coder.raw(wanted));
    }
    if (magnitude == 0) {
      return 0;
    }
    return coder.code(base + COARSE_SIGN, below ? 1 : 0) != 0 ? -magnitude : magnitude;
  }

  /** A number from 0 by steps of one, and by its length where it is far. */
  private long steps(long value, int set) {
    int context = base + UNARY + set * (STEPS + 1);
    for (int step = 0; step < STEPS; step++) {
      if (coder.code(context + step, value == step ? 1 : 0) != 0) {
        return step;
      }
    }
    return byLength(value - STEPS, ESCAPE) + STEPS;
  }

  /** A number of any size that nothing predicts: the first of its slot. */
  long first(long value) {
    long zigzag = byLength((value << 1) ^ (value >> 63), START);
    return (zigzag >>> 1) ^ -(zigzag & 1);
  }

  private long byLength(long value, int contexts) {
    int wanted = 64 - Long.numberOfLeadingZeros(value);
    int length = 0;
    while (length < 64 && coder.code(base + contexts + length, length == wanted ? 1 : 0) == 0) {
      length++;
    }
    if (length == 0) {
      return 0;
    }
    long result = 1;
    for (int bit = length - 2; bit >= 0; bit--) {
      result = (result << 1) | coder.raw((int) (value >>> bit) & 1);
    }
    return result;
  }
}
