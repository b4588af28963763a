package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.OptionalInt;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * A few readings' voltages, of which the median is wanted: a single frame out of step cannot move
 * it. The last columns are the pack voltage in 0.1 mV and the current in mA. Belongs to one thread.
 */
final class Frames {
  private static final int ASIDE = 3;

  /** Standard deviation of the median of three, of one's. */
  private static final double MIDDLE = 0.67;

  private final int most;
  private final boolean isRing;
  private final int width;
  private final int[][] rows;
  private int count;
  private int next;

  private Frames(int most, int series, boolean isRing) {
    this.most = most;
    this.isRing = isRing;
    width = series + 2;
    rows = new int[most][width];
  }

  /** Keeps the newest rows. */
  static Frames newest(int most, int series) {
    return new Frames(most, series, true);
  }

  /** Keeps the first rows and lets the later ones go. */
  static Frames first(int most, int series) {
    return new Frames(most, series, false);
  }

  void add(Moment moment, OptionalInt packMv) {
    if (isFull()) {
      return;
    }
    int[] row = rows[next];
    for (int i = 0; i < width - 2; i++) {
      row[i] = moment.cell(i + 1);
    }
    row[width - 2] = packMv.isPresent() ? packMv.getAsInt() * 10 : Moment.MISSING;
    row[width - 1] = moment.currentMa();
    next = (next + 1) % most;
    count = Math.min(count + 1, most);
  }

  /** True where no later row is taken. */
  boolean isFull() {
    return !isRing && count == most;
  }

  int count() {
    return count;
  }

  void clear() {
    count = 0;
    next = 0;
  }

  /** The newest rows of another, so many at most. */
  void copyNewest(Frames other, int rowsAtMost) {
    count = Math.min(rowsAtMost, other.count);
    for (int i = 0; i < count; i++) {
      System.arraycopy(other.rows[other.place(other.count - count + i)], 0, rows[i], 0, width);
    }
    next = count % most;
  }

  /** Where a row lies, the oldest being 0. */
  private int place(int row) {
    return (next - count + row + most) % most;
  }

  /** How many of the newest rows have a current within this of the newest one's. */
  int newestWithin(int milliamps) {
    int rowsWithin = 0;
    while (rowsWithin < count
        && Math.abs((long) at(count - 1 - rowsWithin, width - 1) - at(count - 1, width - 1))
            <= milliamps) {
      rowsWithin++;
    }
    return rowsWithin;
  }

  /** A value, 0.1 mV or missing; the oldest row is 0. */
  int at(int row, int column) {
    return rows[place(row)][column];
  }

  /** Newest less oldest row, 0.1 mV, of many rows by three on each side; 0 where one is missing. */
  double change(int column) {
    if (count < 2 || median(column) == Moment.MISSING) {
      return 0;
    }
    if (count < 2 * ASIDE) {
      return at(count - 1, column) - at(0, column);
    }
    double apart = middle(count - ASIDE, column) - middle(0, column);
    return apart * (count - 1) / (count - ASIDE);
  }

  /** How far noise moves that, for every unit that one row is off by. */
  double changeNoise() {
    double each = Math.sqrt(2);
    double apart = (count - 1.0) / (count - ASIDE);
    return count < 2 * ASIDE ? each : each * MIDDLE * apart;
  }

  private int middle(int row, int column) {
    int a = at(row, column);
    int b = at(row + 1, column);
    int c = at(row + 2, column);
    return Math.max(Math.min(a, b), Math.min(Math.max(a, b), c));
  }

  /** Median of a column, 0.1 mV; a value is missing when it is missing in any row. */
  int median(int column) {
    int[] values = new int[count];
    for (int i = 0; i < count; i++) {
      values[i] = rows[i][column];
      if (values[i] == Moment.MISSING) {
        return Moment.MISSING;
      }
    }
    if (count == 0) {
      return Moment.MISSING;
    }
    Arrays.sort(values);
    int middle = count / 2;
    return count % 2 == 1 ? values[middle] : Math.floorDiv(values[middle - 1] + values[middle], 2);
  }

  void state(State io) {
    count = io.within(count, 0, most);
    next = io.within(next, 0, most - 1);
    for (int i = 0; i < count; i++) {
      io.each(rows[i]);
    }
  }
}
