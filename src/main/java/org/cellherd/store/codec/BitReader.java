package org.cellherd.store.codec;

/** Reads what {@link BitWriter} wrote. Behind the end come zeros; see {@link #isExhausted}. */
final class BitReader extends BitCoder {

  /** Bytes that the coder looks ahead. */
  private static final int AHEAD = 5;

  private final byte[] bytes;
  private int at;
  private long code;
  private long range = MOST_RANGE;

  BitReader(byte[] bytes, int from, int contexts) {
    super(contexts);
    this.bytes = bytes;
    this.at = from;
    for (int i = 0; i < AHEAD; i++) {
      code = (code << 8) | next();
    }
  }

  @Override
  int code(int context, int ignored) {
    int bit = narrow((range >>> 16) * probability(context));
    learn(context, bit);
    return bit;
  }

  @Override
  int raw(int ignored) {
    return narrow(range >>> 1);
  }

  private int narrow(long bound) {
    int bit;
    if (code < bound) {
      range = bound;
      bit = 1;
    } else {
      code -= bound;
      range -= bound;
      bit = 0;
    }
    while (range < LEAST_RANGE) {
      code = ((code << 8) | next()) & MOST_RANGE;
      range <<= 8;
    }
    return bit;
  }

  private int next() {
    int value = at < bytes.length ? bytes[at] & 0xff : 0;
    at++;
    return value;
  }

  /** True when more bytes were wanted than any writer leaves out: the block is cut off. */
  boolean isExhausted() {
    return at > bytes.length + AHEAD;
  }
}
