package org.cellherd.analysis.moment;

import org.cellherd.pack.Channel.Kind;

/**
 * What a sensor can read at all, by kind, in the stored units: beyond it the value is of an open
 * wire, a counter that ran over or a wrong byte. Cells above 0 and up to 5 V, a pack above 0,
 * sensors from -40 to 120 degC, charge from 0 to 100 % (common practice, no source). A current is
 * never impossible by itself; whether it flowed the cells tell.
 */
public final class Possible {
  private static final int MOST_CELL_TENTH_MV = 50_000;
  private static final int FLOOR_TENTH_C = -400;
  private static final int CEILING_TENTH_C = 1200;
  private static final int FULL_TENTH_PCT = 1000;

  private Possible() {}

  /** True where a cell can have this voltage, 0.1 mV. */
  public static boolean isCell(long tenthMv) {
    return tenthMv > 0 && tenthMv <= MOST_CELL_TENTH_MV;
  }

  /** True where a sensor of this kind can read this. */
  public static boolean is(Kind kind, long value) {
    return switch (kind) {
      case CELL -> isCell(value);
      case PACK_VOLTAGE -> value > 0;
      case TEMPERATURE -> value > FLOOR_TENTH_C && value < CEILING_TENTH_C;
      case SOC -> value >= 0 && value <= FULL_TENTH_PCT;
      case CURRENT, BLEED_MASK, CHARGE_SWITCH, DISCHARGE_SWITCH, BOARD_CHARGE, BOARD_ALARMS -> true;
    };
  }
}
