package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.List;
import java.util.function.ToLongFunction;

/**
 * A check value: its name in the descriptions, and the emulator's own arithmetic.
 *
 * @param word the name; {@code crc} for one that no catalogue has
 * @param bytes how many it takes
 * @param rule its value over what it covers
 * @param unsent an address that is covered in front of the message, but not sent; 0 for none
 * @param isLow true when its low byte stands first
 */
record EmulatedCheck(
    String word, int bytes, ToLongFunction<byte[]> rule, int unsent, boolean isLow) {

  private static final List<EmulatedCheck> KNOWN =
      List.of(
          plain("sum8", 1, EmulatedCheck::sum),
          plain("sum8-twos", 1, b -> -sum(b)),
          plain("xor8", 1, EmulatedCheck::xor),
          plain("sum16", 2, EmulatedCheck::sum),
          plain("sum16-twos", 2, b -> -sum(b)),
          crc("crc-8/smbus", new BitwiseCrc(8, 0x07, 0, false, 0)),
          crc("crc-8/maxim-dow", new BitwiseCrc(8, 0x31, 0, true, 0)),
          crc("crc-16/modbus", new BitwiseCrc(16, 0x8005, 0xFFFF, true, 0)),
          crc("crc-16/xmodem", new BitwiseCrc(16, 0x1021, 0, false, 0)),
          crc("crc-16/ibm-3740", new BitwiseCrc(16, 0x1021, 0xFFFF, false, 0)),
          crc("crc-16/kermit", new BitwiseCrc(16, 0x1021, 0, true, 0)),
          crc("crc-16/ibm-sdlc", new BitwiseCrc(16, 0x1021, 0xFFFF, true, 0xFFFF)),
          crc(
              "crc-32/iso-hdlc",
              new BitwiseCrc(32, 0x04C11DB7L, 0xFFFF_FFFFL, true, 0xFFFF_FFFFL)));

  /** The check of Modbus RTU. */
  static EmulatedCheck modbus() {
    return KNOWN.get(7).with(true);
  }

  /** The check of Modbus ASCII. */
  static EmulatedCheck lrc() {
    return KNOWN.get(1);
  }

  /**
   * A usual one; one in eight covers an address that is not sent, one in ten is a CRC of its own.
   */
  static EmulatedCheck drawn(Chances chances, int address) {
    EmulatedCheck check = chances.of(KNOWN);
    if (chances.once(10)) {
      int poly = 2 * chances.upTo(1 << 15) + 1;
      check = crc("crc", new BitwiseCrc(16, poly, 0xFFFF, chances.once(2), 0));
    } else if (chances.once(8)) {
      String word = check.word.startsWith("crc") ? "crc" : check.word;
      check = new EmulatedCheck(word, check.bytes, check.rule, address, false);
    }
    return check.with(chances.once(2));
  }

  private EmulatedCheck with(boolean isNowLow) {
    return new EmulatedCheck(word, bytes, rule, unsent, isNowLow && bytes > 1);
  }

  private static EmulatedCheck plain(String word, int bytes, ToLongFunction<byte[]> rule) {
    return new EmulatedCheck(word, bytes, rule, 0, false);
  }

  private static EmulatedCheck crc(String word, BitwiseCrc crc) {
    return plain(word, crc.width() / 8, crc::over);
  }

  private static long sum(byte[] covered) {
    long sum = 0;
    for (byte b : covered) {
      sum += b & 0xFF;
    }
    return sum;
  }

  private static long xor(byte[] covered) {
    long xor = 0;
    for (byte b : covered) {
      xor ^= b & 0xFF;
    }
    return xor;
  }

  /**
   * True of a name under which all messages have the same value: the complement of two less an
   * address of 1 is that of ones, so that nothing tells whether an address is covered.
   */
  boolean isCalled(String name) {
    boolean isOnes = unsent == 1 && name.equals(word.replace("-twos", "-ones"));
    return name.equals(word) || isOnes;
  }

  /** The check value's bytes. */
  byte[] over(byte[] covered) {
    long value = rule.applyAsLong(unsent > 0 ? InventedLine.bytes(unsent, covered) : covered);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int i = 0; i < bytes; i++) {
      out.write((int) (value >>> (8 * (isLow ? i : bytes - 1 - i))));
    }
    return out.toByteArray();
  }

  /** What is covered, and the value behind it. */
  byte[] behind(byte[] covered) {
    return InventedLine.bytes(covered, over(covered));
  }

  @Override
  public String toString() {
    return word + (isLow ? " low" : "") + (unsent > 0 ? " of an unsent address" : "");
  }
}
