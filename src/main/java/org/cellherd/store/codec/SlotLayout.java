package org.cellherd.store.codec;

import java.util.List;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/**
 * Which slots the readings of a block fill: the current, the cells, the pack's voltage, the
 * temperatures, then what is rarely told. Kinds that no reading of the block has take no slot.
 *
 * @param cells highest cell number
 * @param temperatures highest sensor number
 * @param kinds one bit for each of {@link Single}
 */
record SlotLayout(int cells, int temperatures, int kinds) {

  /** Quantities that come once a pack; the order of the bits is part of the format. */
  enum Single {
    CURRENT(0, Group.CURRENT),
    PACK(1, Group.PACK),
    SOC(2, Group.SLOW),
    CHARGE(3, Group.SLOW),
    BLEED(4, Group.BITS),
    CHARGE_SWITCH(5, Group.BITS),
    DISCHARGE_SWITCH(6, Group.BITS),
    ALARMS(7, Group.BITS);

    final int mask;
    final Group group;

    Single(int bit, Group group) {
      this.mask = 1 << bit;
      this.group = group;
    }
  }

  /** Slots that share what was learnt about residuals. */
  enum Group {
    TIME(0),
    CURRENT(1),
    CELL(2),
    PACK(3),
    TEMPERATURE(4),
    SLOW(5),
    BITS(6);

    /** How many there are. */
    static final int COUNT = 7;

    /** Place of what belongs to the group, part of the format. */
    final int index;

    Group(int index) {
      this.index = index;
    }
  }

  private static final List<Single> BEHIND =
      List.of(
          Single.SOC,
          Single.CHARGE,
          Single.BLEED,
          Single.CHARGE_SWITCH,
          Single.DISCHARGE_SWITCH,
          Single.ALARMS);

  /** The least layout that holds all readings. */
  static SlotLayout of(List<Reading> readings) {
    int cells = 0;
    int temperatures = 0;
    int kinds = 0;
    for (Reading reading : readings) {
      cells = Math.max(cells, reading.cells().count());
      temperatures = Math.max(temperatures, reading.temperatures().count());
      kinds |= kinds(reading);
    }
    return new SlotLayout(cells, temperatures, kinds);
  }

  private static int kinds(Reading r) {
    return bit(Single.CURRENT, r.currentMa().isPresent())
        | bit(Single.PACK, r.packMv().isPresent())
        | bit(Single.SOC, r.socTenthPct().isPresent())
        | bit(Single.CHARGE, r.boardMah().isPresent())
        | bit(Single.BLEED, r.bleedMask().isPresent())
        | bit(Single.CHARGE_SWITCH, r.chargeSwitch().isPresent())
        | bit(Single.DISCHARGE_SWITCH, r.dischargeSwitch().isPresent())
        | bit(Single.ALARMS, r.boardAlarms().isPresent());
  }

  private static int bit(Single single, boolean present) {
    return present ? single.mask : 0;
  }

  /** The same as part of a block: numbers that a reading can have. */
  SlotLayout state(State io) {
    return new SlotLayout(
        io.within(cells, 0, Channel.MAX_NUMBER),
        io.within(temperatures, 0, Channel.MAX_NUMBER),
        io.within(kinds, 0, 255));
  }

  boolean has(Single single) {
    return (kinds & single.mask) != 0;
  }

  /** Slot of cell 1; the slot before it, if any, is the current. */
  int firstCell() {
    return has(Single.CURRENT) ? 1 : 0;
  }

  /** Slot of the pack's voltage, where there is one. */
  int pack() {
    return firstCell() + cells;
  }

  int firstTemperature() {
    return pack() + (has(Single.PACK) ? 1 : 0);
  }

  /** First slot that holds bits, not a number. */
  int firstBits() {
    return firstTemperature()
        + temperatures
        + (has(Single.SOC) ? 1 : 0)
        + (has(Single.CHARGE) ? 1 : 0);
  }

  int slots() {
    int slots = firstTemperature() + temperatures;
    for (Single single : BEHIND) {
      slots += has(single) ? 1 : 0;
    }
    return slots;
  }

  /** The group of each slot. */
  Group[] groups() {
    Group[] groups = new Group[slots()];
    for (int slot = 0; slot < groups.length; slot++) {
      groups[slot] = slot < pack() ? Group.CELL : Group.TEMPERATURE;
    }
    if (has(Single.CURRENT)) {
      groups[0] = Group.CURRENT;
    }
    if (has(Single.PACK)) {
      groups[pack()] = Group.PACK;
    }
    int slot = firstTemperature() + temperatures;
    for (Single single : BEHIND) {
      if (has(single)) {
        groups[slot++] = single.group;
      }
    }
    return groups;
  }

  void fill(SlotRow frame, Reading reading) {
    CellVoltages voltages = reading.cells();
    Temperatures sensors = reading.temperatures();
    frame.time = reading.timeMs();
    frame.cellCount = voltages.count();
    frame.temperatureCount = sensors.count();
    put(frame, 0, Single.CURRENT, reading.currentMa());
    for (int n = 1, slot = firstCell(); n <= cells; n++, slot++) {
      frame.present[slot] = voltages.has(n);
      frame.values[slot] = voltages.has(n) ? voltages.tenthMv(n) : 0;
    }
    put(frame, pack(), Single.PACK, reading.packMv());
    int slot = firstTemperature();
    for (int n = 1; n <= temperatures; n++, slot++) {
      frame.present[slot] = sensors.has(n);
      frame.values[slot] = sensors.has(n) ? sensors.tenthC(n) : 0;
    }
    slot = put(frame, slot, Single.SOC, reading.socTenthPct());
    slot = put(frame, slot, Single.CHARGE, reading.boardMah());
    slot = put(frame, slot, Single.BLEED, reading.bleedMask());
    slot = put(frame, slot, Single.CHARGE_SWITCH, reading.chargeSwitch());
    slot = put(frame, slot, Single.DISCHARGE_SWITCH, reading.dischargeSwitch());
    put(frame, slot, Single.ALARMS, reading.boardAlarms());
  }

  private int put(SlotRow frame, int slot, Single single, OptionalInt value) {
    if (!has(single)) {
      return slot;
    }
    frame.present[slot] = value.isPresent();
    frame.values[slot] = value.orElse(0);
    return slot + 1;
  }

  private int put(SlotRow frame, int slot, Single single, OptionalLong value) {
    if (!has(single)) {
      return slot;
    }
    frame.present[slot] = value.isPresent();
    frame.values[slot] = value.orElse(0);
    return slot + 1;
  }
}
