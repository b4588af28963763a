package org.cellherd.store.codec;

import java.util.Arrays;

/** One reading laid out by slots; reused from row to row. */
final class SlotRow {
  final long[] values;
  final boolean[] present;
  long time;
  int cellCount;
  int temperatureCount;

  SlotRow(int slots) {
    values = new long[slots];
    present = new boolean[slots];
  }

  /** True when the same slots have values and the counts agree. */
  boolean hasShapeOf(SlotRow other) {
    return cellCount == other.cellCount
        && temperatureCount == other.temperatureCount
        && Arrays.equals(present, other.present);
  }

  /** Takes over which slots have values. */
  void takeShapeOf(SlotRow other) {
    cellCount = other.cellCount;
    temperatureCount = other.temperatureCount;
    System.arraycopy(other.present, 0, present, 0, present.length);
  }
}
