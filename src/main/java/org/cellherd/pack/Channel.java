package org.cellherd.pack;

import java.util.Optional;

/**
 * One quantity of a pack over time, such as cell 3's voltage. Cells and temperatures are numbered
 * from 1; all other kinds have number 0.
 */
public record Channel(Kind kind, int number) implements Comparable<Channel> {

  /** Most cells and most temperature sensors of one pack. */
  public static final int MAX_NUMBER = 64;

  /** What a channel measures; the order is the column order of files. */
  public enum Kind {
    /** Positive while charging. Stored in mA. */
    CURRENT("current_a", 3),
    /** Stored in mV. */
    PACK_VOLTAGE("pack_v", 3),
    /** Stored in 0.1 mV. */
    CELL("cell_%d_v", 4),
    /** Stored in 0.1 degC. */
    TEMPERATURE("temp_%d_c", 1),
    /** The board's own opinion, stored in 0.1 %. */
    SOC("soc_pct", 1),
    /** Bit 0 = cell 1 is bleeding. */
    BLEED_MASK("bleed_mask", 0),
    /** 1 closed, 0 open. */
    CHARGE_SWITCH("charge_switch", 0),
    /** 1 closed, 0 open. */
    DISCHARGE_SWITCH("discharge_switch", 0),
    /** The board's own charge counter, stored in mAh. */
    BOARD_CHARGE("board_ah", 3),
    /** The board's alarm bits, meaning known to its description only. */
    BOARD_ALARMS("board_alarms", 0);

    private final String column;
    private final int decimals;

    Kind(String column, int decimals) {
      this.column = column;
      this.decimals = decimals;
    }

    /** True for kinds that come once a cell or once a sensor. */
    public boolean isNumbered() {
      return this == CELL || this == TEMPERATURE;
    }

    /** True for bit patterns: 64 bits without a sign. */
    public boolean isMask() {
      return this == BLEED_MASK || this == BOARD_ALARMS;
    }

    /** Decimals of the CSV value that the stored integer holds: value = stored / 10^decimals. */
    public int decimals() {
      return decimals;
    }
  }

  /** Refuses a number that does not fit the kind. */
  public Channel {
    if (kind.isNumbered() ? number < 1 || number > MAX_NUMBER : number != 0) {
      throw new IllegalArgumentException("no channel " + kind + " number " + number);
    }
  }

  public static Channel of(Kind kind) {
    return new Channel(kind, 0);
  }

  /** Cell {@code number}, from 1. */
  public static Channel cell(int number) {
    return new Channel(Kind.CELL, number);
  }

  /** Temperature sensor {@code number}, from 1. */
  public static Channel temperature(int number) {
    return new Channel(Kind.TEMPERATURE, number);
  }

  /** Column name in CSV files and in the database, such as {@code cell_3_v}. */
  public String columnName() {
    return kind.isNumbered() ? kind.column.replace("%d", Integer.toString(number)) : kind.column;
  }

  /** The channel of a column name, or empty when it names none. */
  public static Optional<Channel> ofColumn(String column) {
    for (Kind kind : Kind.values()) {
      if (!kind.isNumbered()) {
        if (kind.column.equals(column)) {
          return Optional.of(of(kind));
        }
        continue;
      }
      int at = kind.column.indexOf("%d");
      String before = kind.column.substring(0, at);
      String after = kind.column.substring(at + 2);
      if (column.startsWith(before)
          && column.endsWith(after)
          && column.length() > before.length() + after.length()) {
        String digits = column.substring(before.length(), column.length() - after.length());
        if (digits.matches("[1-9][0-9]?") && Integer.parseInt(digits) <= MAX_NUMBER) {
          return Optional.of(new Channel(kind, Integer.parseInt(digits)));
        }
      }
    }
    return Optional.empty();
  }

  @Override
  public int compareTo(Channel other) {
    int byKind = kind.compareTo(other.kind);
    return byKind != 0 ? byKind : Integer.compare(number, other.number);
  }

  @Override
  public String toString() {
    return columnName();
  }
}
