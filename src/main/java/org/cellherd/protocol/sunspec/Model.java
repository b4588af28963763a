package org.cellherd.protocol.sunspec;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.OptionalInt;
import java.util.OptionalLong;

/** The registers of one model as read, ID and length first. Immutable. */
final class Model {
  private static final int SCALE_NOT_IMPLEMENTED = 0x8000;

  private final int id;
  private final int[] registers;

  Model(int id, int[] registers) {
    this.id = id;
    this.registers = registers.clone();
  }

  int id() {
    return id;
  }

  int length() {
    return registers.length;
  }

  /** A register, or what "not implemented" reads as where the model is shorter. */
  int register(int offset) {
    return offset < registers.length ? registers[offset] : 0xFFFF;
  }

  /** A point's raw value; empty when the device does not implement it. */
  OptionalLong raw(Point point) {
    int at = point.offset();
    if (at + point.registers() > registers.length) {
      return OptionalLong.empty();
    }
    return switch (point.type()) {
      case UINT16, ENUM16 -> unsigned16(registers[at]);
      case INT16 -> signed16(registers[at]);
      case UINT32, BITFIELD32 -> unsigned32(at);
      case STRING -> OptionalLong.empty();
    };
  }

  static OptionalLong unsigned16(int register) {
    return register == 0xFFFF ? OptionalLong.empty() : OptionalLong.of(register);
  }

  static OptionalLong signed16(int register) {
    return register == 0x8000 ? OptionalLong.empty() : OptionalLong.of((short) register);
  }

  private OptionalLong unsigned32(int at) {
    long value = ((long) registers[at] << 16) | registers[at + 1];
    return value == 0xFFFFFFFFL ? OptionalLong.empty() : OptionalLong.of(value);
  }

  /** A scale factor's power of ten; empty when not implemented or no scale factor at all. */
  OptionalInt scale(int offset) {
    int register = register(offset);
    int power = (short) register;
    return register == SCALE_NOT_IMPLEMENTED || power < -10 || power > 10
        ? OptionalInt.empty()
        : OptionalInt.of(power);
  }

  /** A text point, cut at the first zero byte; "" when not implemented. */
  String text(Point point) {
    if (point.offset() + point.registers() > registers.length) {
      return "";
    }
    byte[] bytes = new byte[2 * point.registers()];
    for (int i = 0; i < point.registers(); i++) {
      bytes[2 * i] = (byte) (registers[point.offset() + i] >>> 8);
      bytes[2 * i + 1] = (byte) registers[point.offset() + i];
    }
    int length = 0;
    while (length < bytes.length && bytes[length] != 0) {
      length++;
    }
    String text = new String(Arrays.copyOf(bytes, length), StandardCharsets.ISO_8859_1);
    return text.replaceAll("[^ -~]", "?").strip();
  }
}
