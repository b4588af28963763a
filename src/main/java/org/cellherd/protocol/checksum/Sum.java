package org.cellherd.protocol.checksum;

import java.util.Locale;

/** The plain check values: sums of bytes in three forms and two widths, and exclusive-or. */
public enum Sum implements Checksum {
  /** Sum of the bytes modulo 256. */
  SUM8(1),
  /** The sum's bits turned over. */
  SUM8_ONES(1),
  /** 256 minus the sum: with it the sum of all is 0. The LRC of Modbus ASCII. */
  SUM8_TWOS(1),
  /** Sum of the bytes modulo 65536. */
  SUM16(2),
  /** The 16-bit sum's bits turned over. */
  SUM16_ONES(2),
  /** 65536 minus the 16-bit sum. */
  SUM16_TWOS(2),
  /** Exclusive-or of all bytes, as in NMEA 0183. */
  XOR8(1);

  private final int bytes;

  Sum(int bytes) {
    this.bytes = bytes;
  }

  @Override
  public int bytes() {
    return bytes;
  }

  @Override
  public long over(byte[] data, int from, int to) {
    return over(0, data, from, to);
  }

  @Override
  public long begunWith(long seed, byte[] data) {
    return over(seed, data, 0, data.length);
  }

  /** The value when the sum begins with a constant. */
  long over(long seed, byte[] data, int from, int to) {
    long sum = seed;
    for (int i = from; i < to; i++) {
      int b = data[i] & 0xFF;
      sum = this == XOR8 ? sum ^ b : sum + b;
    }
    return turned(sum);
  }

  /** The constant with which a sum must begin to give one value where it gives another without. */
  public long seedFor(long value, long unseeded) {
    return this == XOR8 ? value ^ unseeded : (turned(value) - turned(unseeded)) & mask();
  }

  /** The sum as it is written, and back: turning twice changes nothing. */
  private long turned(long sum) {
    long value =
        switch (this) {
          case SUM8, SUM16, XOR8 -> sum;
          case SUM8_ONES, SUM16_ONES -> ~sum;
          case SUM8_TWOS, SUM16_TWOS -> -sum;
        };
    return value & mask();
  }

  private long mask() {
    return bytes == 1 ? 0xFF : 0xFFFF;
  }

  @Override
  public String word() {
    return name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /**
   * A sum that does not begin with 0: a constant is added to the bytes, or joined by exclusive-or,
   * before the sum is turned over.
   *
   * @param sum the rule
   * @param seed the constant, as wide as the sum
   */
  public record Seeded(Sum sum, long seed) implements Checksum {

    @Override
    public String word() {
      return sum.word();
    }

    @Override
    public String described() {
      return String.format(Locale.ROOT, "%s begun with %0" + 2 * bytes() + "X", word(), seed);
    }

    @Override
    public int bytes() {
      return sum.bytes();
    }

    @Override
    public long begunWith(long other, byte[] data) {
      return sum.over(other, data, 0, data.length);
    }

    @Override
    public long over(byte[] data, int from, int to) {
      return sum.over(seed, data, from, to);
    }
  }
}
