package org.cellherd.page;

import java.util.Arrays;
import org.cellherd.json.JsonText;
import org.cellherd.pack.CellVoltages;

/**
 * Every cell's distance from the pack's median over the last hours, in 0.1 mV, one column a minute;
 * memory is fixed. Guarded by its {@link LivePack}.
 */
final class Strip {

  /** Six hours: as long as people look back at a night while it lasts. */
  static final int COLUMNS = 360;

  static final long COLUMN_MS = 60_000;

  /** Columns that an outline takes together. */
  private static final int OUTLINE = 5;

  /** No reading in this column. */
  static final short NONE = Short.MIN_VALUE;

  private final short[][] cells;
  private final int[] medians = new int[COLUMNS];
  private long medianSum;
  private int medianCount;
  private final long[] sums;
  private final int[] counts;
  private long newest = Long.MIN_VALUE;
  private long oldestLive = Long.MAX_VALUE;

  Strip(int series) {
    cells = new short[series][COLUMNS];
    sums = new long[series];
    counts = new int[series];
    for (short[] cell : cells) {
      Arrays.fill(cell, NONE);
    }
  }

  /** Takes a reading; the newest column is the mean of its readings so far. */
  void add(long timeMs, CellVoltages voltages) {
    long column = Math.floorDiv(timeMs, COLUMN_MS);
    moveTo(column);
    if (voltages.medianTenthMv().isEmpty()) {
      return;
    }
    oldestLive = Math.min(oldestLive, newest);
    int median = voltages.medianTenthMv().getAsInt();
    medianSum += median;
    medianCount++;
    medians[at(newest)] = (int) Math.round(medianSum / (double) medianCount);
    for (int cell = 1; cell <= Math.min(cells.length, voltages.count()); cell++) {
      if (voltages.has(cell)) {
        sums[cell - 1] += voltages.tenthMv(cell) - median;
        counts[cell - 1]++;
        cells[cell - 1][at(newest)] =
            clamped(Math.round(sums[cell - 1] / (double) counts[cell - 1]));
      }
    }
  }

  /** A clock that was set back far begins anew: old columns would stand in the future. */
  private void moveTo(long column) {
    if (newest == Long.MIN_VALUE || column < newest - 1 || column >= newest + COLUMNS) {
      for (short[] cell : cells) {
        Arrays.fill(cell, NONE);
      }
      newest = column;
      oldestLive = Long.MAX_VALUE;
      clearSums();
    }
    while (newest < column) {
      newest++;
      for (short[] cell : cells) {
        cell[at(newest)] = NONE;
      }
      clearSums();
    }
  }

  private void clearSums() {
    Arrays.fill(sums, 0);
    Arrays.fill(counts, 0);
    medianSum = 0;
    medianCount = 0;
  }

  /** Puts what the log knows of a minute before the first reading of this run. */
  void fill(long timeMs, int cell, double deviationMv, double medianMv) {
    long column = Math.floorDiv(timeMs, COLUMN_MS);
    if (newest == Long.MIN_VALUE) {
      newest = column;
    }
    boolean fits = column > newest - COLUMNS && column < Math.min(oldestLive, newest + 1);
    if (fits && cell <= cells.length) {
      cells[cell - 1][at(column)] = clamped(Math.round(deviationMv * 10));
      medians[at(column)] = (int) Math.round(medianMv * 10);
    }
  }

  /** Makes the strip end here, so that what the log knows of the time before can be filled in. */
  void endAt(long timeMs) {
    if (newest == Long.MIN_VALUE) {
      newest = Math.floorDiv(timeMs, COLUMN_MS);
    }
  }

  /** The newest column's minute since 1970; very negative before any reading. */
  long newest() {
    return newest;
  }

  /**
   * All columns as JSON: {@code {"newest":minute,"median":[0.1 mV, ...],"cells":[[0.1 mV or null,
   * ...], ...]}}. A median counts only where a cell has a value.
   */
  String json() {
    return json(COLUMNS);
  }

  /** The newest columns as JSON. */
  String json(int columns) {
    StringBuilder out = new StringBuilder(64 + columns * cells.length * 4);
    out.append("{\"newest\":").append(newest == Long.MIN_VALUE ? 0 : newest);
    out.append(",\"median\":[");
    for (int back = columns - 1; back >= 0; back--) {
      out.append(newest == Long.MIN_VALUE ? 0 : medians[at(newest - back)]);
      out.append(back == 0 ? "" : ",");
    }
    out.append("],\"cells\":[");
    for (int cell = 0; cell < cells.length; cell++) {
      out.append(cell == 0 ? "[" : ",[");
      for (int back = columns - 1; back >= 0; back--) {
        short value = newest == Long.MIN_VALUE ? NONE : cells[cell][at(newest - back)];
        if (value == NONE) {
          out.append("null");
        } else {
          out.append(value);
        }
        out.append(back == 0 ? "" : ",");
      }
      out.append(']');
    }
    return out.append("]}").toString();
  }

  /**
   * Lowest and highest cell of every few minutes as JSON: {@code {"id":...,"newest":minute,
   * "minutes":5,"low":[0.1 mV or null, ...],"high":[...]}}.
   */
  String outlineJson(String id) {
    int count = COLUMNS / OUTLINE;
    StringBuilder low = new StringBuilder();
    StringBuilder high = new StringBuilder();
    for (int part = count - 1; part >= 0; part--) {
      int least = Short.MAX_VALUE;
      int most = NONE;
      for (int back = part * OUTLINE; back < (part + 1) * OUTLINE; back++) {
        for (short[] cell : cells) {
          short value = newest == Long.MIN_VALUE ? NONE : cell[at(newest - back)];
          least = value == NONE ? least : Math.min(least, value);
          most = Math.max(most, value);
        }
      }
      String comma = part == 0 ? "" : ",";
      low.append(most == NONE ? "null" : Integer.toString(least)).append(comma);
      high.append(most == NONE ? "null" : Integer.toString(most)).append(comma);
    }
    return "{\"id\":%s,\"newest\":%d,\"minutes\":%d,\"low\":[%s],\"high\":[%s]}"
        .formatted(JsonText.quoted(id), newest, OUTLINE, low, high);
  }

  private static int at(long column) {
    return (int) Math.floorMod(column, (long) COLUMNS);
  }

  private static short clamped(long tenthMv) {
    return (short) Math.max(Short.MIN_VALUE + 1, Math.min(Short.MAX_VALUE, tenthMv));
  }
}
