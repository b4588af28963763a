package org.cellherd.protocol.spec;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.cellherd.protocol.frame.Bytes;

/**
 * One drawn field of a drawn binary description, the bytes drawn for it, and what they mean by
 * arithmetic of unbounded numbers that shares nothing with the decoder.
 *
 * @param as the target's word, or "" for a value that is only shown
 * @param type the type's word
 * @param data the bytes, in the order of the line
 * @param shift of a mask
 * @param scale power of ten of the scale
 */
record DrawnField(String name, String as, String type, Bytes data, int shift, int scale) {

  private static final List<String> WHOLE =
      List.of(
          "u8",
          "u16",
          "u24",
          "u32",
          "u40",
          "u48",
          "u56",
          "u64",
          "bcd",
          "decimal_digits",
          "hex_digits");
  private static final List<String> SIGNED =
      List.of(
          "s8", "s16", "s24", "s32", "s40", "s64", "m8", "m16", "m24", "m32", "m64", "f32", "f64");

  static DrawnField draw(Random random, String name, String as, int mostBytes) {
    boolean mask = as.equals("alarms") || as.equals("bleed_mask");
    boolean plain = mask || as.endsWith("switch") || as.equals("identity");
    List<String> types = plain || random.nextBoolean() ? WHOLE : SIGNED;
    String type = types.get(random.nextInt(types.size()));
    int size =
        type.matches("[a-z][0-9]+")
            ? Integer.parseInt(type.substring(1)) / 8
            : 1 + random.nextInt(type.equals("bcd") ? 8 : 15);
    if (size > mostBytes) {
      return draw(random, name, as, mostBytes);
    }
    int scale = plain ? 0 : random.nextInt(4) - 2;
    return new DrawnField(
        name, as, type, Bytes.of(bytes(random, type, size)), mask ? random.nextInt(9) : 0, scale);
  }

  private static byte[] bytes(Random random, String type, int size) {
    byte[] bytes = new byte[size];
    int way = random.nextInt(6);
    if (way < 2) {
      random.nextBytes(bytes);
    } else if (way == 2) {
      Arrays.fill(bytes, (byte) 0xFF);
    } else if (way == 3) {
      bytes[0] = (byte) 0x80;
    } else if (way == 4) {
      bytes[0] = (byte) 0x80;
      bytes[size - 1] |= 1;
    }
    if (type.endsWith("digits") && random.nextInt(4) > 0) {
      String digits = type.equals("hex_digits") ? "0123456789ABCDEFabcdef" : "0123456789";
      for (int i = 0; i < size; i++) {
        bytes[i] = (byte) digits.charAt(random.nextInt(digits.length()));
      }
    } else if (type.equals("bcd") && random.nextInt(4) > 0) {
      for (int i = 0; i < size; i++) {
        bytes[i] = (byte) (random.nextInt(10) << 4 | random.nextInt(10));
      }
    }
    return bytes;
  }

  private byte[] bytes() {
    return data.array();
  }

  boolean isMask() {
    return as.equals("alarms") || as.equals("bleed_mask");
  }

  /** The table of this field. */
  String toml() {
    StringBuilder t = new StringBuilder("{ name = \"" + name + "\", type = \"" + type + "\"");
    if (!as.isEmpty()) {
      t.append(", as = \"").append(as).append('"');
    }
    if (!type.matches("[a-z][0-9]+")) {
      t.append(", bytes = ").append(data.length());
    }
    if (isMask()) {
      t.append(", shift = ").append(shift);
    }
    if (scale != 0) {
      t.append(", scale = ").append(BigDecimal.ONE.movePointRight(scale).toPlainString());
    }
    String unit =
        switch (as) {
          case "soc" -> "%";
          case "board_charge" -> "Ah";
          case "temperature" -> "C";
          case "pack_voltage" -> "V";
          default -> "";
        };
    return t + (unit.isEmpty() ? "" : ", unit = \"" + unit + "\"") + " }";
  }

  /** The number in the bytes; empty where they hold none. */
  Optional<BigDecimal> number() {
    BigInteger unsigned = new BigInteger(1, bytes());
    int bits = 8 * data.length();
    String text = new String(bytes(), StandardCharsets.ISO_8859_1);
    return switch (type.charAt(0)) {
      case 'u' -> Optional.of(new BigDecimal(unsigned));
      case 's' -> Optional.of(new BigDecimal(new BigInteger(bytes())));
      case 'm' -> {
        BigDecimal size = new BigDecimal(unsigned.clearBit(bits - 1));
        yield Optional.of(unsigned.testBit(bits - 1) ? size.negate() : size);
      }
      case 'f' -> real(unsigned);
      case 'b' -> digits(unsigned.toString(16), "[0-9]*", 10);
      case 'h' -> digits(text, "[0-9A-Fa-f]*", 16);
      default -> digits(text, "[0-9]*", 10);
    };
  }

  private static Optional<BigDecimal> digits(String text, String allowed, int radix) {
    return text.matches(allowed)
        ? Optional.of(new BigDecimal(new BigInteger(text, radix)))
        : Optional.empty();
  }

  private Optional<BigDecimal> real(BigInteger bits) {
    double value =
        data.length() == 4
            ? Float.intBitsToFloat(bits.intValue())
            : Double.longBitsToDouble(bits.longValue());
    return Double.isFinite(value) ? Optional.of(new BigDecimal(value)) : Optional.empty();
  }

  /** True for the bytes by which a float says that it has no number. */
  boolean isNaN() {
    int exponent = data.length() == 4 ? 0xFF : 0x7FF;
    int fraction = data.length() == 4 ? 23 : 52;
    BigInteger bits = new BigInteger(1, bytes());
    return type.startsWith("f")
        && bits.shiftRight(fraction).and(BigInteger.valueOf(exponent)).intValue() == exponent
        && bits.mod(BigInteger.ONE.shiftLeft(fraction)).signum() != 0;
  }

  /** The integer that a channel with so many decimals must hold; empty where none can. */
  Optional<BigInteger> stored(int decimals) {
    Optional<BigDecimal> number = number();
    if (isMask()) {
      return number
          .map(n -> n.toBigIntegerExact().shiftLeft(shift))
          .filter(n -> n.bitLength() <= 64);
    }
    return number
        .map(n -> n.movePointRight(scale + decimals))
        .map(n -> n.add(new BigDecimal("0.5")).setScale(0, RoundingMode.FLOOR).toBigInteger())
        .filter(n -> n.abs().compareTo(BigInteger.valueOf(Integer.MAX_VALUE)) <= 0);
  }

  @Override
  public String toString() {
    return toml() + " of " + HexFormat.of().formatHex(bytes()).toUpperCase(Locale.ROOT);
  }
}
