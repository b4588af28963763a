package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.List;

/** How an emulated board codes each quantity. */
final class EmulatedNumbers {
  private final String order;
  private final String cellForm;
  private final String currentForm;
  private final String tempForm;
  private final String packForm;
  private final boolean isReversed;
  private final boolean hasAbsentSensor;
  private final boolean isShort;

  /** Bytes of data that a CAN frame holds. */
  private static final int CAN_DATA = 8;

  private static final List<String> CELLS =
      List.of("mV", "mV", "mV", "mV", "0.1mV", "packed 12", "packed 14", "f32", "packed 10");

  /** {@code isShort}: three cells must fit a CAN frame behind its page. */
  EmulatedNumbers(Chances chances, boolean isModbus, boolean isShort) {
    this.isShort = isShort;
    order =
        chances.of(
            isModbus
                ? List.of("big", "big", "cdab")
                : List.of("big", "big", "big", "little", "little", "cdab"));
    cellForm = chances.of(isShort ? CELLS.subList(0, 7) : CELLS);
    currentForm = chances.of(List.of("s16x10", "s16x100", "s32", "u16+zero", "m16x10", "f32"));
    tempForm = chances.of(List.of("u8+40", "s8", "s16x0.1", "u16K"));
    packForm = chances.of(List.of("u16x10", "u16x100", "u32"));
    isReversed = chances.once(2);
    hasAbsentSensor = chances.once(5);
  }

  /** 2 mV, or what rounding to 5 mV takes. */
  int toleranceTenthMv() {
    return cellForm.equals("packed 10") ? 26 : 20;
  }

  byte[] cells(int[] tenths) {
    if (cellForm.startsWith("packed")) {
      return packed(tenths, Integer.parseInt(cellForm.substring(7)));
    }
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int tenth : tenths) {
      switch (cellForm) {
        case "mV" -> put(out, 2, Math.round(tenth / 10.0));
        case "0.1mV" -> put(out, 2, tenth);
        default -> put(out, 4, Float.floatToIntBits(tenth / 10_000f));
      }
    }
    return out.toByteArray();
  }

  /**
   * Cells without a space across the borders of bytes, the rest of the last byte 0; 10 bits: 5 mV.
   */
  private byte[] packed(int[] tenths, int bits) {
    byte[] out = new byte[(bits * tenths.length + 7) / 8];
    for (int i = 0; i < bits * tenths.length; i++) {
      int number = Math.round(tenths[i / bits] / (bits == 10 ? 50f : 10f));
      boolean isLow = order.equals("little");
      if (((number >> (isLow ? i % bits : bits - 1 - i % bits)) & 1) != 0) {
        out[i / 8] |= (byte) (isLow ? 1 << (i % 8) : 0x80 >> (i % 8));
      }
    }
    return out;
  }

  byte[] pack(int mv) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    switch (packForm) {
      case "u16x10" -> put(out, 2, Math.round(mv / 10.0));
      case "u16x100" -> put(out, 2, Math.round(mv / 100.0));
      default -> put(out, 4, mv);
    }
    return out.toByteArray();
  }

  /** {@code zero} is what no current is in an unsigned number. */
  byte[] current(int milliamps, int zero) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    long ma = isReversed ? -milliamps : milliamps;
    switch (currentForm) {
      case "s16x10" -> put(out, 2, Math.round(ma / 10.0));
      case "s16x100" -> put(out, 2, Math.round(ma / 100.0));
      case "s32" -> put(out, 4, ma);
      case "u16+zero" -> put(out, 2, zero + Math.round(ma / 10.0));
      case "m16x10" -> put(out, 2, Math.round(Math.abs(ma) / 10.0) | (ma < 0 ? 0x8000 : 0));
      default -> put(out, 4, Float.floatToIntBits(ma / 1000f));
    }
    return out.toByteArray();
  }

  /** Sensors; an absent one behind them shows what such sensors show. */
  byte[] temperatures(int[] tenths) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (int tenth : tenths) {
      switch (tempForm) {
        case "u8+40" -> put(out, 1, Math.round(tenth / 10.0) + 40);
        case "s8" -> put(out, 1, Math.round(tenth / 10.0));
        case "s16x0.1" -> put(out, 2, tenth);
        default -> put(out, 2, tenth + 2731);
      }
    }
    int width = tempForm.startsWith("u8") || tempForm.startsWith("s8") ? 1 : 2;
    if (hasAbsentSensor && !(isShort && out.size() + width > CAN_DATA)) {
      switch (tempForm) {
        case "u8+40" -> put(out, 1, 0xFF);
        case "s8" -> put(out, 1, 0x80);
        case "s16x0.1" -> put(out, 2, 0x8000);
        default -> put(out, 2, 0xFFFF);
      }
    }
    return out.toByteArray();
  }

  /** Charge of a pack of 100 Ah, mAh. */
  byte[] charge(int socTenths) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    put(out, 4, socTenths * 100L);
    return out.toByteArray();
  }

  private void put(ByteArrayOutputStream out, int bytes, long value) {
    int[] places =
        switch (bytes + order) {
          case "2little" -> new int[] {1, 0};
          case "4little" -> new int[] {3, 2, 1, 0};
          case "4cdab" -> new int[] {2, 3, 0, 1};
          case "4big" -> new int[] {0, 1, 2, 3};
          default -> bytes == 1 ? new int[] {0} : new int[] {0, 1};
        };
    for (int place : places) {
      out.write((int) (value >>> (8 * (bytes - 1 - place))));
    }
  }

  @Override
  public String toString() {
    return String.join(
        " ",
        "cells " + cellForm,
        "current " + (isReversed ? "-" : "") + currentForm,
        "temp " + tempForm + (hasAbsentSensor ? " and an absent one" : ""),
        "pack " + packForm,
        order);
  }
}
