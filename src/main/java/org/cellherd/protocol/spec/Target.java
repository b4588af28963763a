package org.cellherd.protocol.spec;

import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;

/** Where a value goes in a reading, and its units there. */
public enum Target {
  /** Cells by number. */
  CELL(units("V", 10000, "mV", 10)),
  /** Sensors by number. */
  TEMPERATURE(units("C", 10, "K", 10)),
  CURRENT(units("A", 1000, "mA", 1)),
  PACK_VOLTAGE(units("V", 1000, "mV", 1)),
  /** The board's own state of charge. */
  SOC(units("%", 10, "1", 1000)),
  /** Bits of bleeding cells. */
  BLEED_MASK(Map.of()),
  /** One truth value a cell: it bleeds. */
  BLEEDING(Map.of()),
  /** The board bleeds some cell and does not tell which: shown, no part of a reading. */
  ANY_BLEEDING(Map.of()),
  CHARGE_SWITCH(Map.of()),
  DISCHARGE_SWITCH(Map.of()),
  /** The board's own charge counter. */
  BOARD_CHARGE(units("Ah", 1000, "mAh", 1)),
  ALARMS(Map.of()),
  /** What tells this board from another. */
  IDENTITY(Map.of()),
  /** Shown to people, not part of a reading. */
  EXTRA(Map.of());

  private final Map<String, Integer> units;

  Target(Map<String, Integer> units) {
    this.units = units;
  }

  private static Map<String, Integer> units(String a, int aFactor, String b, int bFactor) {
    Map<String, Integer> map = new LinkedHashMap<>();
    map.put(a, aFactor);
    map.put(b, bFactor);
    return map;
  }

  /** Units that may be written, with the factor to the unit inside; empty where there is none. */
  public Map<String, Integer> units() {
    return units;
  }

  /** Factor from a written unit to the unit inside. */
  public Optional<Integer> factor(String unit) {
    return Optional.ofNullable(units.get(unit));
  }

  /** The quantity of a reading that it fills; empty where it fills none, or one bit of one. */
  Optional<Channel.Kind> kind() {
    return switch (this) {
      case CELL -> Optional.of(Channel.Kind.CELL);
      case TEMPERATURE -> Optional.of(Channel.Kind.TEMPERATURE);
      case CURRENT -> Optional.of(Channel.Kind.CURRENT);
      case PACK_VOLTAGE -> Optional.of(Channel.Kind.PACK_VOLTAGE);
      case SOC -> Optional.of(Channel.Kind.SOC);
      case BLEED_MASK -> Optional.of(Channel.Kind.BLEED_MASK);
      case CHARGE_SWITCH -> Optional.of(Channel.Kind.CHARGE_SWITCH);
      case DISCHARGE_SWITCH -> Optional.of(Channel.Kind.DISCHARGE_SWITCH);
      case BOARD_CHARGE -> Optional.of(Channel.Kind.BOARD_CHARGE);
      case ALARMS -> Optional.of(Channel.Kind.BOARD_ALARMS);
      case BLEEDING, ANY_BLEEDING, IDENTITY, EXTRA -> Optional.empty();
    };
  }

  /**
   * What a reading has for it, in the unit of its kind; empty beyond the last cell or sensor.
   *
   * @param number of the cell or sensor, from 1; of no meaning where values are not numbered
   */
  public OptionalLong valueIn(Reading reading, int number) {
    if (this == BLEEDING) {
      OptionalLong mask = reading.bleedMask();
      return mask.isPresent()
          ? OptionalLong.of(mask.getAsLong() >>> (number - 1) & 1)
          : OptionalLong.empty();
    }
    if (this == ANY_BLEEDING) {
      OptionalLong mask = reading.bleedMask();
      return mask.isPresent() ? OptionalLong.of(mask.getAsLong() == 0 ? 0 : 1) : mask;
    }
    boolean isCounted = number >= 1 && number <= Channel.MAX_NUMBER;
    return kind()
        .filter(kind -> !kind.isNumbered() || isCounted)
        .map(
            kind -> reading.value(kind.isNumbered() ? new Channel(kind, number) : Channel.of(kind)))
        .orElse(OptionalLong.empty());
  }

  /** True when values come once a cell or sensor. */
  public boolean isNumbered() {
    return this == CELL || this == TEMPERATURE || this == BLEEDING;
  }

  /** True for what a board measures: where this cannot be trusted, there is no reading. */
  public boolean isMeasured() {
    return this == CELL || this == TEMPERATURE || this == CURRENT || this == PACK_VOLTAGE;
  }

  /** True for a bit pattern. */
  public boolean isMask() {
    return this == BLEED_MASK || this == ALARMS;
  }

  /** True where single bits or values have a meaning, so that a rounded number has none. */
  public boolean isCoded() {
    return isMask() || isTruth();
  }

  /** True for an open or closed switch and other truth values. */
  public boolean isTruth() {
    return this == CHARGE_SWITCH
        || this == DISCHARGE_SWITCH
        || this == BLEEDING
        || this == ANY_BLEEDING;
  }
}
