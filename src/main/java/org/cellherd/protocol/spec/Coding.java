package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.OptionalLong;
import org.cellherd.protocol.frame.Numbers;

/**
 * How a number stands in bytes. The raw value is always a long: for floats the bits of the float,
 * for sign and magnitude the signed number. Places are counted in bits from the beginning of the
 * data: numbers that are no whole bytes stand packed, {@link WordOrder#BIG} ones from the highest
 * bit of a byte downwards, {@link WordOrder#LITTLE} ones from the lowest upwards.
 *
 * @param type kind of number
 * @param bits 1 to 64, more for texts and skipped bytes
 * @param order order of its bytes, or of its bits where it is packed
 */
record Coding(Type type, int bits, WordOrder order) {

  /** A number of whole bytes. */
  public static Coding ofBytes(Type type, int bytes, WordOrder order) {
    return new Coding(type, 8 * bytes, order);
  }

  public enum Type {
    UNSIGNED,
    SIGNED,
    /** The highest bit is the sign, the rest the size. */
    MAGNITUDE,
    /** Two decimal digits a byte. */
    BCD,
    /** IEEE 754, 4 or 8 bytes. */
    FLOAT,
    DECIMAL_DIGITS,
    HEX_DIGITS,
    /** ASCII text, cut at the first zero byte. */
    TEXT,
    /** Bytes without a described meaning. */
    SKIP
  }

  /** Bytes that it fills, the last one perhaps in part. */
  public int bytes() {
    return (bits + 7) / 8;
  }

  /** True for a whole number in binary, which may stand at any bit. */
  public boolean isNumberOfBits() {
    return type == Type.UNSIGNED || type == Type.SIGNED || type == Type.MAGNITUDE;
  }

  /** True when it is made of whole bytes. */
  public boolean isWholeBytes() {
    return bits % 8 == 0;
  }

  /** The raw value at a bit; empty when the bytes are no number of this kind. */
  public OptionalLong read(byte[] data, int bit) {
    return switch (type) {
      case UNSIGNED, FLOAT -> OptionalLong.of(ordered(data, bit));
      case SIGNED -> OptionalLong.of(signed(ordered(data, bit)));
      case MAGNITUDE -> OptionalLong.of(magnitude(ordered(data, bit)));
      case BCD -> bcd(ordered(data, bit));
      case DECIMAL_DIGITS -> digits(data, bit / 8, 10);
      case HEX_DIGITS -> digits(data, bit / 8, 16);
      case TEXT, SKIP -> OptionalLong.of(0);
    };
  }

  /** Writes a raw value at a bit; what does not fit is cut to the nearest that does. */
  public void write(byte[] out, int bit, long raw) {
    long fitting = fit(raw);
    switch (type) {
      case UNSIGNED, SIGNED, FLOAT -> put(out, bit, fitting);
      case MAGNITUDE -> put(out, bit, fitting < 0 ? -fitting | signBit() : fitting);
      case BCD -> put(out, bit, Long.parseLong(Long.toString(fitting), 16));
      case DECIMAL_DIGITS, HEX_DIGITS -> {
        String form = "%0" + bytes() + (type == Type.HEX_DIGITS ? "X" : "d");
        byte[] text = String.format(Locale.ROOT, form, fitting).getBytes(StandardCharsets.US_ASCII);
        System.arraycopy(text, 0, out, bit / 8, bytes());
      }
      case TEXT, SKIP -> {}
    }
  }

  public double number(long raw) {
    if (type == Type.FLOAT) {
      return bits == 32 ? Float.intBitsToFloat((int) raw) : Double.longBitsToDouble(raw);
    }
    return type == Type.UNSIGNED && raw < 0 ? (raw >>> 1) * 2.0 : raw;
  }

  /** The bits of a raw value as they stand in the bytes, without those that a sign added. */
  long pattern(long raw) {
    return type == Type.SIGNED && bits < 64 ? raw & ((1L << bits) - 1) : raw;
  }

  public long raw(double number) {
    if (type == Type.FLOAT) {
      return bits == 32
          ? Float.floatToIntBits((float) number) & 0xFFFFFFFFL
          : Double.doubleToLongBits(number);
    }
    return fit(Math.round(number));
  }

  private long fit(long raw) {
    return switch (type) {
      case UNSIGNED -> bits == 64 ? raw : Math.max(0, Math.min(raw, (1L << bits) - 1));
      case SIGNED -> bits == 64 ? raw : clamp(raw, -(1L << (bits - 1)), (1L << (bits - 1)) - 1);
      case MAGNITUDE -> clamp(raw, 1 - signBit(), signBit() - 1);
      case BCD -> clamp(raw, 0, power(10, 2 * bytes()) - 1);
      case DECIMAL_DIGITS -> clamp(raw, 0, power(10, bytes()) - 1);
      case HEX_DIGITS -> clamp(raw, 0, power(16, bytes()) - 1);
      case FLOAT, TEXT, SKIP -> raw;
    };
  }

  private static long clamp(long value, long least, long most) {
    return Math.max(least, Math.min(value, most));
  }

  private static long power(int base, int exponent) {
    double value = Math.pow(base, exponent);
    return value >= Long.MAX_VALUE ? Long.MAX_VALUE : (long) value;
  }

  private long signBit() {
    return 1L << (bits - 1);
  }

  private long signed(long unsigned) {
    int unused = 64 - bits;
    return unsigned << unused >> unused;
  }

  private long magnitude(long unsigned) {
    return (unsigned & signBit()) == 0 ? unsigned : -(unsigned & (signBit() - 1));
  }

  private OptionalLong bcd(long packed) {
    long value = 0;
    for (int nibble = 2 * bytes() - 1; nibble >= 0; nibble--) {
      long digit = packed >>> (4 * nibble) & 0xF;
      if (digit > 9) {
        return OptionalLong.empty();
      }
      value = 10 * value + digit;
    }
    return OptionalLong.of(value);
  }

  private OptionalLong digits(byte[] data, int at, int radix) {
    long value = 0;
    for (int i = 0; i < bytes(); i++) {
      int digit = Character.digit(data[at + i] & 0xFF, radix);
      if (digit < 0) {
        return OptionalLong.empty();
      }
      value = radix * value + digit;
    }
    return OptionalLong.of(value);
  }

  private long ordered(byte[] data, int bit) {
    if (bits % 8 != 0 || bit % 8 != 0) {
      return packed(data, bit);
    }
    int at = bit / 8;
    if (order == WordOrder.LITTLE) {
      return Numbers.unsigned(data, at, bits / 8, true);
    }
    long value = 0;
    for (int i = 0; i < bits / 8; i++) {
      value = (value << 8) | (data[at + order.place(i, bits / 8)] & 0xFF);
    }
    return value;
  }

  private void put(byte[] out, int bit, long value) {
    if (bits % 8 != 0 || bit % 8 != 0) {
      putPacked(out, bit, value);
      return;
    }
    for (int i = 0; i < bits / 8; i++) {
      out[bit / 8 + order.place(i, bits / 8)] = (byte) (value >>> (bits - 8 - 8 * i));
    }
  }

  // ---- numbers across the borders of bytes, piece by piece -------------------------------------

  private long packed(byte[] data, int bit) {
    long value = 0;
    int piece;
    for (int done = 0; done < bits; done += piece) {
      piece = piece(bit + done, bits - done);
      long part = (data[(bit + done) / 8] >>> shift(bit + done, piece)) & ((1L << piece) - 1);
      value = order == WordOrder.LITTLE ? value | (part << done) : (value << piece) | part;
    }
    return value;
  }

  private void putPacked(byte[] out, int bit, long value) {
    int piece;
    for (int done = 0; done < bits; done += piece) {
      piece = piece(bit + done, bits - done);
      int shift = shift(bit + done, piece);
      int mask = (1 << piece) - 1;
      long part = order == WordOrder.LITTLE ? value >>> done : value >>> (bits - done - piece);
      int kept = out[(bit + done) / 8] & ~(mask << shift);
      out[(bit + done) / 8] = (byte) (kept | ((int) (part & mask) << shift));
    }
  }

  /** Bits up to the next border of a byte. */
  private static int piece(int bit, int left) {
    return Math.min(8 - bit % 8, left);
  }

  /** Lowest bit of a piece in its byte. */
  private int shift(int bit, int piece) {
    return order == WordOrder.LITTLE ? bit % 8 : 8 - bit % 8 - piece;
  }
}
