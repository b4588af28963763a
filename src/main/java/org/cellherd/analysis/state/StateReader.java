package org.cellherd.analysis.state;

import java.util.Arrays;

/** Reads what {@link StateWriter} wrote; anything else is a {@link StateMismatch}. */
final class StateReader {
  private final byte[] bytes;
  private int at;

  /** Reads these bytes, which must not change meanwhile. */
  StateReader(byte[] bytes) {
    this.bytes = bytes;
  }

  long getLong() {
    long zigzag = 0;
    for (int shift = 0; shift < 70; shift += 7) {
      byte b = next();
      zigzag |= (long) (b & 0x7f) << shift;
      if (b >= 0) {
        return (zigzag >>> 1) ^ -(zigzag & 1);
      }
    }
    throw new StateMismatch("number too long at byte " + at);
  }

  double getDouble() {
    long bits = 0;
    for (int i = 0; i < 8; i++) {
      bits = (bits << 8) | (next() & 0xff);
    }
    return Double.longBitsToDouble(bits);
  }

  boolean getBoolean() {
    byte value = next();
    if (value != 0 && value != 1) {
      throw new StateMismatch("neither yes nor no at byte " + (at - 1));
    }
    return value == 1;
  }

  byte[] getBytes() {
    long length = getLong();
    if (length < 0 || length > left()) {
      throw new StateMismatch("count " + length + " at byte " + at + " is more than there is");
    }
    byte[] value = Arrays.copyOfRange(bytes, at, at + (int) length);
    at += (int) length;
    return value;
  }

  int left() {
    return bytes.length - at;
  }

  private byte next() {
    if (at >= bytes.length) {
      throw new StateMismatch("state ends at byte " + at);
    }
    return bytes[at++];
  }
}
