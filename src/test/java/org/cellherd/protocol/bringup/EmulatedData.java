package org.cellherd.protocol.bringup;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.protocol.bringup.EmulatedPack.Instant;

/** The drawn layout of an emulated board's data: how each quantity is coded, and in what order. */
final class EmulatedData {

  /** How messages share the quantities. */
  enum Share {
    /** All in one. */
    ONE,
    /** Cells in one, the rest in another. */
    TWO,
    /** Pages of four cells, the rest in the last, byte 0 of the data is the page. */
    PAGES
  }

  private static final int PAGE = 4;

  private final Share share;
  private final boolean isLow;
  private final String cellForm;
  private final String currentForm;
  private final String tempForm;
  private final String packForm;
  private final boolean hasSoc;
  private final boolean isPackFirst;
  private final boolean isReversed;
  private final int filler;
  private int counter;

  EmulatedData(Chances chances, Share share, boolean isPlain) {
    this.share = share;
    this.isLow = !isPlain && chances.once(3);
    this.cellForm =
        isPlain ? "mV" : chances.of(List.of("mV", "mV", "mV", "0.1mV", "f32", "packed12"));
    this.currentForm =
        chances.of(List.of("s16x10", "s16x100", "s32", "u16-30000", "m16x10", "f32"));
    this.tempForm = chances.of(List.of("u8+40", "s8", "s16x0.1", "u16K"));
    this.packForm = chances.of(List.of("u16x10", "u16x100", "u32"));
    this.hasSoc = chances.once(2);
    this.isPackFirst = chances.once(2);
    this.isReversed = chances.once(2);
    this.filler = chances.upTo(256);
  }

  /** The data of each message that tells an instant. */
  List<byte[]> of(Instant instant) {
    counter++;
    List<byte[]> all = new ArrayList<>();
    if (share == Share.ONE) {
      all.add(InventedLine.bytes(cells(instant.cellsTenthMv()), rest(instant)));
    } else if (share == Share.TWO) {
      all.add(cells(instant.cellsTenthMv()));
      all.add(rest(instant));
    } else {
      int[] cells = instant.cellsTenthMv();
      for (int at = 0; at < cells.length; at += PAGE) {
        int[] page = Arrays.copyOfRange(cells, at, Math.min(cells.length, at + PAGE));
        all.add(InventedLine.bytes(at / PAGE, cells(page)));
      }
      all.add(InventedLine.bytes(all.size(), rest(instant)));
    }
    return all;
  }

  private byte[] cells(int[] tenths) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    if (cellForm.equals("packed12")) {
      return packed(tenths);
    }
    for (int tenth : tenths) {
      switch (cellForm) {
        case "mV" -> put(out, 2, Math.round(tenth / 10.0));
        case "0.1mV" -> put(out, 2, tenth);
        default -> put(out, 4, Float.floatToIntBits(tenth / 10_000f));
      }
    }
    return out.toByteArray();
  }

  /** 12 bits a cell, highest bit first, the rest of the last byte 0. */
  private static byte[] packed(int[] tenths) {
    byte[] out = new byte[(12 * tenths.length + 7) / 8];
    for (int i = 0; i < 12 * tenths.length; i++) {
      int mv = Math.round(tenths[i / 12] / 10f);
      if (((mv >> (11 - i % 12)) & 1) != 0) {
        out[i / 8] |= (byte) (0x80 >> (i % 8));
      }
    }
    return out;
  }

  private byte[] rest(Instant instant) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    if (isPackFirst) {
      pack(out, instant);
      current(out, instant);
    } else {
      current(out, instant);
      pack(out, instant);
    }
    if (hasSoc) {
      put(out, 1, Math.round(instant.socTenths() / 10.0));
    }
    for (int tenth : instant.tenthC()) {
      temperature(out, tenth);
    }
    put(out, 1, filler);
    put(out, 1, counter);
    return out.toByteArray();
  }

  private void pack(ByteArrayOutputStream out, Instant instant) {
    switch (packForm) {
      case "u16x10" -> put(out, 2, Math.round(instant.packMv() / 10.0));
      case "u16x100" -> put(out, 2, Math.round(instant.packMv() / 100.0));
      default -> put(out, 4, instant.packMv());
    }
  }

  private void current(ByteArrayOutputStream out, Instant instant) {
    long ma = isReversed ? -instant.currentMa() : instant.currentMa();
    switch (currentForm) {
      case "s16x10" -> put(out, 2, Math.round(ma / 10.0));
      case "s16x100" -> put(out, 2, Math.round(ma / 100.0));
      case "s32" -> put(out, 4, ma);
      case "u16-30000" -> put(out, 2, 30_000 + Math.round(ma / 10.0));
      case "m16x10" -> put(out, 2, Math.round(Math.abs(ma) / 10.0) | (ma < 0 ? 0x8000 : 0));
      default -> put(out, 4, Float.floatToIntBits(ma / 1000f));
    }
  }

  private void temperature(ByteArrayOutputStream out, int tenth) {
    switch (tempForm) {
      case "u8+40" -> put(out, 1, Math.round(tenth / 10.0) + 40);
      case "s8" -> put(out, 1, Math.round(tenth / 10.0));
      case "s16x0.1" -> put(out, 2, tenth);
      default -> put(out, 2, tenth + 2731);
    }
  }

  private void put(ByteArrayOutputStream out, int bytes, long value) {
    for (int i = 0; i < bytes; i++) {
      out.write((int) (value >>> (8 * (isLow ? i : bytes - 1 - i))));
    }
  }

  @Override
  public String toString() {
    return String.join(
        " ",
        share.toString().toLowerCase(java.util.Locale.ROOT),
        "cells " + cellForm,
        "current " + (isReversed ? "-" : "") + currentForm,
        "temp " + tempForm,
        "pack " + packForm,
        isLow ? "low first" : "high first");
  }
}
