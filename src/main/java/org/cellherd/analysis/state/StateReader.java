package org.cellherd.analysis.state;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.EnumSet;

/** Reads what {@link StateWriter} wrote; anything else is a {@link StateMismatch}. */
final class StateReader {
  private final byte[] bytes;
  private int at;

  /** Reads these bytes, which must not change meanwhile. */
  public StateReader(byte[] bytes) {
    this.bytes = bytes;
  }

  /** Takes a section's head and refuses another name or version. */
  public StateReader section(String name, int version) {
    String found = getText();
    long foundVersion = getLong();
    if (!found.equals(name) || foundVersion != version) {
      throw new StateMismatch(
          "expected state " + name + " " + version + ", found " + found + " " + foundVersion);
    }
    return this;
  }

  /** Takes a whole number. */
  public long getLong() {
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

  /** Takes a whole number that must fit an int. */
  public int getInt() {
    long value = getLong();
    if (value != (int) value) {
      throw new StateMismatch("number " + value + " does not fit at byte " + at);
    }
    return (int) value;
  }

  /** Takes a double. */
  public double getDouble() {
    long bits = 0;
    for (int i = 0; i < 8; i++) {
      bits = (bits << 8) | (next() & 0xff);
    }
    return Double.longBitsToDouble(bits);
  }

  /** Takes a yes or no. */
  public boolean getBoolean() {
    return next() != 0;
  }

  /** Takes text. */
  public String getText() {
    return new String(getBytes(), StandardCharsets.UTF_8);
  }

  /** Takes bytes. */
  public byte[] getBytes() {
    int length = count(1);
    byte[] value = Arrays.copyOfRange(bytes, at, at + length);
    at += length;
    return value;
  }

  /** Takes whole numbers. */
  public long[] getLongs() {
    long[] values = new long[count(1)];
    for (int i = 0; i < values.length; i++) {
      values[i] = getLong();
    }
    return values;
  }

  /** Takes doubles. */
  public double[] getDoubles() {
    double[] values = new double[count(8)];
    for (int i = 0; i < values.length; i++) {
      values[i] = getDouble();
    }
    return values;
  }

  /** Takes a constant of an enum. */
  public <E extends Enum<E>> E getEnum(Class<E> type) {
    String name = getText();
    for (E constant : EnumSet.allOf(type)) {
      if (constant.name().equals(name)) {
        return constant;
      }
    }
    throw new StateMismatch("no " + type.getSimpleName() + " is called " + name);
  }

  /** How many bytes were taken. */
  public int position() {
    return at;
  }

  /** The same bytes for parts that describe their state once. */
  public State state() {
    return new Restoring(this);
  }

  /** Bytes that are left. */
  int left() {
    return bytes.length - at;
  }

  /** True when nothing is left. */
  public boolean isAtEnd() {
    return at == bytes.length;
  }

  private int count(int bytesEach) {
    long n = getLong();
    if (n < 0 || n > (bytes.length - at) / bytesEach) {
      throw new StateMismatch("count " + n + " at byte " + at + " is more than there is");
    }
    return (int) n;
  }

  private byte next() {
    if (at >= bytes.length) {
      throw new StateMismatch("state ends at byte " + at);
    }
    return bytes[at++];
  }
}
