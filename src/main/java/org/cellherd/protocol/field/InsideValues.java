package org.cellherd.protocol.field;

import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.pack.Reading;

/** What a reading has for a target. */
public final class InsideValues {

  private InsideValues() {}

  /** The value inside of a target; number counts from 1 where it is numbered. */
  public static OptionalLong of(Reading r, Target target, int number) {
    return switch (target) {
      case CELL ->
          r.cells().has(number) ? OptionalLong.of(r.cells().tenthMv(number)) : OptionalLong.empty();
      case TEMPERATURE ->
          r.temperatures().has(number)
              ? OptionalLong.of(r.temperatures().tenthC(number))
              : OptionalLong.empty();
      case CURRENT -> wide(r.currentMa());
      case PACK_VOLTAGE -> wide(r.packMv());
      case SOC -> wide(r.socTenthPct());
      case BLEED_MASK -> r.bleedMask();
      case BLEEDING ->
          r.bleedMask().isPresent()
              ? OptionalLong.of(r.bleedMask().getAsLong() >>> (number - 1) & 1)
              : OptionalLong.empty();
      case CHARGE_SWITCH -> wide(r.chargeSwitch());
      case DISCHARGE_SWITCH -> wide(r.dischargeSwitch());
      case BOARD_CHARGE -> wide(r.boardMah());
      case ALARMS -> r.boardAlarms();
      case IDENTITY, EXTRA -> OptionalLong.empty();
    };
  }

  private static OptionalLong wide(OptionalInt value) {
    return value.isPresent() ? OptionalLong.of(value.getAsInt()) : OptionalLong.empty();
  }
}
