package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.List;

/**
 * How a number may stand in a message.
 *
 * @param type as descriptions write it: {@code u16}, {@code f32}, {@code u12} for packed bits
 * @param bits of one number
 * @param order byte order as descriptions write it; of packed bits {@code little} means that the
 *     lowest bit comes first
 */
record Code(String type, int bits, String order) {

  /** Numbers that cells may be. */
  static final List<Code> CELLS = codes("u16", "f32", "f32 badc", "u12", "u14");

  /** Numbers of cells that are too short for a millivolt a unit. */
  static final List<Code> COARSE_CELLS = codes("u10");

  /** Numbers that a current may be, the more usual first. */
  static final List<Code> CURRENTS = codes("s16", "u16", "m16", "s32", "f32");

  /** Numbers that a pack's voltage may be. */
  static final List<Code> VOLTAGES = codes("u16", "u32", "f32");

  private static final int[] CDAB = {2, 3, 0, 1};
  private static final int[] BADC = {1, 0, 3, 2};

  /** Types with the orders of bytes in which they stand, the more usual first, or with the one. */
  private static List<Code> codes(String... types) {
    List<Code> codes = new ArrayList<>();
    for (String type : types) {
      int bits = Integer.parseInt(type.substring(1, 3));
      List<String> orders =
          type.length() > 3
              ? List.of(type.substring(4))
              : bits == 32 ? List.of("big", "little", "cdab") : List.of("big", "little");
      orders.forEach(order -> codes.add(new Code(type.substring(0, 3), bits, order)));
    }
    return List.copyOf(codes);
  }

  /** True when numbers cross the bounds of bytes. */
  boolean isPacked() {
    return bits % 8 != 0;
  }

  boolean isFloat() {
    return type.equals("f32");
  }

  /** True when it is a whole number of two words, the other one of which is a whole number too. */
  boolean isTwiceOf(Code half) {
    boolean isWhole = type.startsWith("s") && half.type.startsWith("s");
    boolean isSameOrder = order.equals(half.order) || (order.equals("cdab") && !half.isLowFirst());
    return isWhole && bits == 2 * half.bits && isSameOrder;
  }

  /** True when the lower half of the number stands first. */
  boolean isHalfFirst() {
    return isLowFirst() || order.equals("cdab");
  }

  boolean isLowFirst() {
    return order.equals("little");
  }

  /** Bytes that a row of numbers takes. */
  int span(int count) {
    return (bits * count + 7) / 8;
  }

  /** How many of them fit in some bytes. */
  int fitting(int bytes) {
    return bytes * 8 / bits;
  }

  /** The number of some rank in a row; NaN for a float that is none. */
  double read(Sample sample, int at, int rank) {
    if (isPacked()) {
      return packed(sample, 8 * at + bits * rank);
    }
    int bytes = bits / 8;
    long value = 0;
    for (int i = 0; i < bytes; i++) {
      value = (value << 8) | sample.at(at + bytes * rank + place(i, bytes));
    }
    return switch (type.charAt(0)) {
      case 'f' -> Float.intBitsToFloat((int) value);
      case 's' -> (value << (64 - bits)) >> (64 - bits);
      case 'm' -> (value >> (bits - 1)) == 0 ? value : -(value & ((1L << (bits - 1)) - 1));
      default -> value;
    };
  }

  private int place(int rank, int bytes) {
    return switch (order) {
      case "little" -> bytes - 1 - rank;
      case "cdab" -> CDAB[rank];
      case "badc" -> BADC[rank];
      default -> rank;
    };
  }

  private double packed(Sample sample, int from) {
    long value = 0;
    for (int i = 0; i < bits; i++) {
      int bit = from + i;
      if (isLowFirst()) {
        value |= (long) ((sample.at(bit / 8) >> (bit % 8)) & 1) << i;
      } else {
        value = (value << 1) | ((sample.at(bit / 8) >> (7 - bit % 8)) & 1);
      }
    }
    return value;
  }

  /** The keys of a description's field. */
  String field() {
    return "type = \"" + type + "\"" + (order.equals("big") ? "" : ", order = \"" + order + "\"");
  }
}
