package org.cellherd.analysis.state;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/** Bytes of a fold's state: zigzag varints for whole numbers, eight bytes for doubles. */
final class StateWriter {
  private byte[] bytes = new byte[256];
  private int size;

  /** Begins a section: a name and a version that the reader asks for. */
  public StateWriter section(String name, int version) {
    return putText(name).putLong(version);
  }

  /** Adds a whole number. */
  public StateWriter putLong(long value) {
    long zigzag = (value << 1) ^ (value >> 63);
    while ((zigzag & ~0x7fL) != 0) {
      put((byte) ((zigzag & 0x7f) | 0x80));
      zigzag >>>= 7;
    }
    put((byte) zigzag);
    return this;
  }

  /** Adds a double, bit for bit. */
  public StateWriter putDouble(double value) {
    long bits = Double.doubleToRawLongBits(value);
    for (int shift = 56; shift >= 0; shift -= 8) {
      put((byte) (bits >>> shift));
    }
    return this;
  }

  /** Adds a yes or no. */
  public StateWriter putBoolean(boolean value) {
    put((byte) (value ? 1 : 0));
    return this;
  }

  /** Adds text. */
  public StateWriter putText(String text) {
    return putBytes(text.getBytes(StandardCharsets.UTF_8));
  }

  /** Adds a constant of an enum, by name. */
  public StateWriter putEnum(Enum<?> constant) {
    return putText(constant.name());
  }

  /** Adds bytes with their length. */
  public StateWriter putBytes(byte[] value) {
    putLong(value.length);
    for (byte b : value) {
      put(b);
    }
    return this;
  }

  /** Adds whole numbers with their count. */
  public StateWriter putLongs(long[] values) {
    putLong(values.length);
    for (long value : values) {
      putLong(value);
    }
    return this;
  }

  /** Adds doubles with their count. */
  public StateWriter putDoubles(double[] values) {
    putLong(values.length);
    for (double value : values) {
      putDouble(value);
    }
    return this;
  }

  /** The same bytes for parts that describe their state once. */
  public State state() {
    return new Saving(this);
  }

  /** All bytes so far. */
  public byte[] toBytes() {
    return Arrays.copyOf(bytes, size);
  }

  private void put(byte value) {
    if (size == bytes.length) {
      bytes = Arrays.copyOf(bytes, size * 2);
    }
    bytes[size++] = value;
  }
}
