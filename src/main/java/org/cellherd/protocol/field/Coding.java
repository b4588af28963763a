package org.cellherd.protocol.field;

import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.OptionalLong;
import org.cellherd.protocol.frame.Numbers;

/**
 * How a number stands in bytes. The raw value is always a long: for floats the bits of the float,
 * for sign and magnitude the signed number.
 *
 * @param type kind of number
 * @param bytes 1 to 8, more for texts and skipped bytes
 * @param order order of its bytes
 */
public record Coding(Type type, int bytes, WordOrder order) {

  /** Kinds of number. */
  public enum Type {
    UNSIGNED,
    SIGNED,
    /** The highest bit is the sign, the rest the size. */
    MAGNITUDE,
    /** Two decimal digits a byte. */
    BCD,
    /** IEEE 754, 4 or 8 bytes. */
    FLOAT,
    /** Decimal digits in ASCII. */
    DECIMAL_DIGITS,
    /** Hex digits in ASCII. */
    HEX_DIGITS,
    /** ASCII text, cut at the first zero byte. */
    TEXT,
    /** Bytes without a described meaning. */
    SKIP
  }

  /** The raw value at a place; empty when the bytes are no number of this kind. */
  public OptionalLong read(byte[] data, int at) {
    return switch (type) {
      case UNSIGNED, FLOAT -> OptionalLong.of(ordered(data, at));
      case SIGNED -> OptionalLong.of(signed(ordered(data, at)));
      case MAGNITUDE -> OptionalLong.of(magnitude(ordered(data, at)));
      case BCD -> bcd(ordered(data, at));
      case DECIMAL_DIGITS -> digits(data, at, 10);
      case HEX_DIGITS -> digits(data, at, 16);
      case TEXT, SKIP -> OptionalLong.of(0);
    };
  }

  /** Writes a raw value; what does not fit is cut to the nearest that does. */
  public void write(byte[] out, int at, long raw) {
    long fitting = fit(raw);
    switch (type) {
      case UNSIGNED, SIGNED, FLOAT -> put(out, at, fitting);
      case MAGNITUDE -> put(out, at, fitting < 0 ? -fitting | signBit() : fitting);
      case BCD -> put(out, at, Long.parseLong(Long.toString(fitting), 16));
      case DECIMAL_DIGITS, HEX_DIGITS -> {
        String form = "%0" + bytes + (type == Type.HEX_DIGITS ? "X" : "d");
        byte[] text = String.format(Locale.ROOT, form, fitting).getBytes(StandardCharsets.US_ASCII);
        System.arraycopy(text, 0, out, at, bytes);
      }
      case TEXT, SKIP -> {}
    }
  }

  /** The number that a raw value stands for. */
  public double number(long raw) {
    if (type == Type.FLOAT) {
      return bytes == 4 ? Float.intBitsToFloat((int) raw) : Double.longBitsToDouble(raw);
    }
    return type == Type.UNSIGNED && raw < 0 ? (raw >>> 1) * 2.0 : raw;
  }

  /** The bits of a raw value as they stand in the bytes, without those that a sign added. */
  long bits(long raw) {
    return type == Type.SIGNED && bytes < 8 ? raw & ((1L << (8 * bytes)) - 1) : raw;
  }

  /** The raw value nearest to a number. */
  public long raw(double number) {
    if (type == Type.FLOAT) {
      return bytes == 4
          ? Float.floatToIntBits((float) number) & 0xFFFFFFFFL
          : Double.doubleToLongBits(number);
    }
    return fit(Math.round(number));
  }

  private long fit(long raw) {
    int bits = 8 * bytes;
    return switch (type) {
      case UNSIGNED -> bits == 64 ? raw : Math.max(0, Math.min(raw, (1L << bits) - 1));
      case SIGNED -> bits == 64 ? raw : clamp(raw, -(1L << (bits - 1)), (1L << (bits - 1)) - 1);
      case MAGNITUDE -> clamp(raw, 1 - signBit(), signBit() - 1);
      case BCD -> clamp(raw, 0, power(10, 2 * bytes) - 1);
      case DECIMAL_DIGITS -> clamp(raw, 0, power(10, bytes) - 1);
      case HEX_DIGITS -> clamp(raw, 0, power(16, bytes) - 1);
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
    return 1L << (8 * bytes - 1);
  }

  private long signed(long unsigned) {
    int unused = 64 - 8 * bytes;
    return unsigned << unused >> unused;
  }

  private long magnitude(long unsigned) {
    return (unsigned & signBit()) == 0 ? unsigned : -(unsigned & (signBit() - 1));
  }

  private OptionalLong bcd(long packed) {
    long value = 0;
    for (int nibble = 2 * bytes - 1; nibble >= 0; nibble--) {
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
    for (int i = 0; i < bytes; i++) {
      int digit = Character.digit(data[at + i] & 0xFF, radix);
      if (digit < 0) {
        return OptionalLong.empty();
      }
      value = radix * value + digit;
    }
    return OptionalLong.of(value);
  }

  private long ordered(byte[] data, int at) {
    if (order == WordOrder.LITTLE) {
      return Numbers.unsigned(data, at, bytes, true);
    }
    long value = 0;
    for (int i = 0; i < bytes; i++) {
      value = (value << 8) | (data[at + order.place(i, bytes)] & 0xFF);
    }
    return value;
  }

  private void put(byte[] out, int at, long value) {
    for (int i = 0; i < bytes; i++) {
      out[at + order.place(i, bytes)] = (byte) (value >>> (8 * (bytes - 1 - i)));
    }
  }
}
