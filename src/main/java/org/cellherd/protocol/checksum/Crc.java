package org.cellherd.protocol.checksum;

import java.util.Locale;

/**
 * A cyclic redundancy check of 8 to 32 bits by the usual six parameters (width, polynomial, initial
 * value, reflection in and out, final exclusive-or), table driven.
 */
public final class Crc implements Checksum {
  private final String name;
  private final Parameters parameters;
  private final long[] table = new long[256];
  private final long mask;
  private final long start;

  /**
   * The parameters as catalogues print them.
   *
   * @param width bits, 8, 16 or 32
   * @param poly polynomial without its highest bit, not reflected
   * @param init register before the first byte
   * @param reflectIn each byte is taken lowest bit first
   * @param reflectOut the register is reversed before the last step
   * @param xorOut exclusive-or at the end
   */
  public record Parameters(
      int width, long poly, long init, boolean reflectIn, boolean reflectOut, long xorOut) {

    /** Refuses widths that no frame here has. */
    public Parameters {
      if (width != 8 && width != 16 && width != 24 && width != 32) {
        throw new IllegalArgumentException("width " + width + ", allowed 8, 16, 24, 32");
      }
    }
  }

  public Crc(String name, Parameters parameters) {
    this.name = name;
    this.parameters = parameters;
    this.mask = (1L << parameters.width) - 1;
    this.start =
        parameters.reflectIn ? reverse(parameters.init, parameters.width) : parameters.init & mask;
    for (int i = 0; i < 256; i++) {
      table[i] = parameters.reflectIn ? lowFirst(i) : highFirst(i);
    }
  }

  private long lowFirst(long register) {
    long poly = reverse(parameters.poly, parameters.width);
    for (int bit = 0; bit < 8; bit++) {
      register = (register & 1) != 0 ? (register >>> 1) ^ poly : register >>> 1;
    }
    return register;
  }

  private long highFirst(long value) {
    long top = 1L << (parameters.width - 1);
    long register = value << (parameters.width - 8);
    for (int bit = 0; bit < 8; bit++) {
      register = (register & top) != 0 ? (register << 1) ^ parameters.poly : register << 1;
    }
    return register & mask;
  }

  public Parameters parameters() {
    return parameters;
  }

  @Override
  public String word() {
    return name;
  }

  @Override
  public String described() {
    return Checksums.named(name).isPresent() ? name : toString();
  }

  @Override
  public int bytes() {
    return parameters.width / 8;
  }

  @Override
  public long over(byte[] data, int from, int to) {
    return over(start, data, from, to);
  }

  @Override
  public long begunWith(long seed, byte[] data) {
    long register = parameters.reflectIn ? reverse(seed & mask, parameters.width) : seed & mask;
    return over(register, data, 0, data.length);
  }

  private long over(long begin, byte[] data, int from, int to) {
    long register = begin;
    for (int i = from; i < to; i++) {
      int b = data[i] & 0xFF;
      register =
          parameters.reflectIn
              ? (register >>> 8) ^ table[(int) ((register ^ b) & 0xFF)]
              : ((register << 8) & mask)
                  ^ table[(int) (((register >>> (parameters.width - 8)) ^ b) & 0xFF)];
    }
    if (parameters.reflectIn != parameters.reflectOut) {
      register = reverse(register, parameters.width);
    }
    return (register ^ parameters.xorOut) & mask;
  }

  private static long reverse(long value, int width) {
    return Long.reverse(value) >>> (64 - width);
  }

  @Override
  public String toString() {
    return String.format(
        Locale.ROOT,
        "%s (width %d, poly %X, init %X, reflect in %b, out %b, xor %X)",
        name,
        parameters.width,
        parameters.poly,
        parameters.init,
        parameters.reflectIn,
        parameters.reflectOut,
        parameters.xorOut);
  }
}
