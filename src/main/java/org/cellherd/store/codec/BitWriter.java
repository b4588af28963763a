package org.cellherd.store.codec;

import java.util.Arrays;

/** Writes bits; carries run back into the bytes already written. */
final class BitWriter extends BitCoder {
  private byte[] bytes = new byte[512];
  private int size;
  private long low;
  private long range = MOST_RANGE;

  BitWriter(int contexts) {
    super(contexts);
  }

  @Override
  int code(int context, int bit) {
    narrow((range >>> 16) * probability(context), bit);
    learn(context, bit);
    return bit;
  }

  @Override
  int raw(int bit) {
    narrow(range >>> 1, bit);
    return bit;
  }

  private void narrow(long bound, int bit) {
    if (bit != 0) {
      range = bound;
    } else {
      low += bound;
      range -= bound;
      carry();
    }
    while (range < LEAST_RANGE) {
      shift();
    }
  }

  private void carry() {
    if (low >>> 40 != 0) {
      low &= MOST_RANGE;
      int at = size - 1;
      while (++bytes[at] == 0) {
        at--;
      }
    }
  }

  private void shift() {
    if (size == bytes.length) {
      bytes = Arrays.copyOf(bytes, size * 2);
    }
    bytes[size++] = (byte) (low >>> 32);
    low = (low << 8) & MOST_RANGE;
    range <<= 8;
  }

  /** All bytes, as few as tell this number from its neighbours. */
  byte[] finish() {
    // The range is at least 2^32 wide, so some number in it ends in 32 zero bits.
    low += LEAST_RANGE - 1;
    carry();
    shift();
    return Arrays.copyOf(bytes, size);
  }
}
