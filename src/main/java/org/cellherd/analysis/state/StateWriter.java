package org.cellherd.analysis.state;

import java.util.Arrays;

/** Bytes of a state: zigzag varints for whole numbers, eight bytes for doubles. */
final class StateWriter {
  private byte[] bytes = new byte[256];
  private int size;

  StateWriter putLong(long value) {
    long zigzag = (value << 1) ^ (value >> 63);
    while ((zigzag & ~0x7fL) != 0) {
      put((byte) ((zigzag & 0x7f) | 0x80));
      zigzag >>>= 7;
    }
    put((byte) zigzag);
    return this;
  }

  /** Adds a double, bit for bit. */
  StateWriter putDouble(double value) {
    long bits = Double.doubleToRawLongBits(value);
    for (int shift = 56; shift >= 0; shift -= 8) {
      put((byte) (bits >>> shift));
    }
    return this;
  }

  StateWriter putBoolean(boolean value) {
    put((byte) (value ? 1 : 0));
    return this;
  }

  StateWriter putBytes(byte[] value) {
    putLong(value.length);
    for (byte b : value) {
      put(b);
    }
    return this;
  }

  byte[] toBytes() {
    return Arrays.copyOf(bytes, size);
  }

  private void put(byte value) {
    if (size == bytes.length) {
      bytes = Arrays.copyOf(bytes, size * 2);
    }
    bytes[size++] = value;
  }
}
