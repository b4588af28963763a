package org.cellherd.protocol.frame;

/** Whole numbers of 1 to 8 bytes in a byte array. */
public final class Numbers {

  private Numbers() {}

  /** An unsigned number; eight bytes fill the sign bit too. */
  public static long unsigned(byte[] bytes, int at, int count, boolean lowFirst) {
    long value = 0;
    for (int i = 0; i < count; i++) {
      int index = lowFirst ? at + count - 1 - i : at + i;
      value = (value << 8) | (bytes[index] & 0xFF);
    }
    return value;
  }

  /** Writes the low bytes of a number. */
  public static void put(byte[] bytes, int at, int count, boolean lowFirst, long value) {
    for (int i = 0; i < count; i++) {
      int index = lowFirst ? at + i : at + count - 1 - i;
      bytes[index] = (byte) (value >>> (8 * i));
    }
  }
}
