package org.cellherd.store.codec;

import java.util.OptionalInt;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.store.codec.SlotLayout.Single;

/** Makes readings from frames again. */
final class Readout {
  private final SlotLayout layout;

  Readout(SlotLayout layout) {
    this.layout = layout;
  }

  /** The reading of a frame whose time is counted from {@code startMs}. */
  Reading reading(SlotRow frame, long startMs) throws BlockDamaged {
    if (!isPossible(frame)) {
      throw new BlockDamaged("values behind the last cell or sensor");
    }
    Reading.Builder b = Reading.at(startMs + frame.time);
    if (frame.cellCount > 0) {
      b.cells(cells(frame));
    }
    if (frame.temperatureCount > 0) {
      b.temperatures(temperatures(frame));
    }
    if (layout.has(Single.CURRENT) && frame.present[0]) {
      b.currentMa(number(frame, 0));
    }
    if (layout.has(Single.PACK) && frame.present[layout.pack()]) {
      b.packMv(number(frame, layout.pack()));
    }
    rest(frame, b);
    return b.build();
  }

  private void rest(SlotRow frame, Reading.Builder b) throws BlockDamaged {
    int slot = layout.firstTemperature() + layout.temperatures();
    if (layout.has(Single.SOC) && frame.present[slot++]) {
      b.socTenthPct(number(frame, slot - 1));
    }
    if (layout.has(Single.CHARGE) && frame.present[slot++]) {
      b.boardMah(number(frame, slot - 1));
    }
    if (layout.has(Single.BLEED) && frame.present[slot++]) {
      b.bleedMask(frame.values[slot - 1]);
    }
    if (layout.has(Single.CHARGE_SWITCH) && frame.present[slot++]) {
      b.chargeSwitch(frame.values[slot - 1] == 1);
    }
    if (layout.has(Single.DISCHARGE_SWITCH) && frame.present[slot++]) {
      b.dischargeSwitch(frame.values[slot - 1] == 1);
    }
    if (layout.has(Single.ALARMS) && frame.present[slot]) {
      b.boardAlarms(frame.values[slot]);
    }
  }

  private CellVoltages cells(SlotRow frame) throws BlockDamaged {
    int first = layout.firstCell();
    if (isFull(frame, first, frame.cellCount)) {
      return CellVoltages.ofTenthMv(numbers(frame, first, frame.cellCount));
    }
    return CellVoltages.ofOptional(optionals(frame, first, frame.cellCount));
  }

  private Temperatures temperatures(SlotRow frame) throws BlockDamaged {
    int first = layout.firstTemperature();
    if (isFull(frame, first, frame.temperatureCount)) {
      return Temperatures.ofTenthC(numbers(frame, first, frame.temperatureCount));
    }
    return Temperatures.ofOptional(optionals(frame, first, frame.temperatureCount));
  }

  private static boolean isFull(SlotRow frame, int first, int count) {
    for (int slot = first; slot < first + count; slot++) {
      if (!frame.present[slot]) {
        return false;
      }
    }
    return true;
  }

  private static int[] numbers(SlotRow frame, int first, int count) throws BlockDamaged {
    int[] numbers = new int[count];
    for (int i = 0; i < count; i++) {
      numbers[i] = number(frame, first + i);
    }
    return numbers;
  }

  private static OptionalInt[] optionals(SlotRow frame, int first, int count) throws BlockDamaged {
    OptionalInt[] numbers = new OptionalInt[count];
    for (int i = 0; i < count; i++) {
      numbers[i] =
          frame.present[first + i] ? OptionalInt.of(number(frame, first + i)) : OptionalInt.empty();
    }
    return numbers;
  }

  private static int number(SlotRow frame, int slot) throws BlockDamaged {
    long value = frame.values[slot];
    if (value != (int) value) {
      throw new BlockDamaged("value " + value + " is too large");
    }
    return (int) value;
  }

  /** True when counts are within the layout and nothing is present behind them. */
  private boolean isPossible(SlotRow frame) {
    return frame.cellCount <= layout.cells()
        && frame.temperatureCount <= layout.temperatures()
        && isEmpty(frame, layout.firstCell() + frame.cellCount, layout.pack())
        && isEmpty(
            frame,
            layout.firstTemperature() + frame.temperatureCount,
            layout.firstTemperature() + layout.temperatures());
  }

  private static boolean isEmpty(SlotRow frame, int from, int to) {
    for (int slot = from; slot < to; slot++) {
      if (frame.present[slot]) {
        return false;
      }
    }
    return true;
  }
}
