package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.OptionalInt;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * A few readings' voltages, of which the median is wanted: a single frame out of step cannot move
 * it. The last column is the pack voltage in 0.1 mV. Belongs to one thread.
 */
final class Frames {
  private final int most;
  private final boolean isRing;
  private final int width;
  private final int[][] rows;
  private int count;
  private int next;

  private Frames(int most, int series, boolean isRing) {
    this.most = most;
    this.isRing = isRing;
    width = series + 1;
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
    for (int i = 0; i < width - 1; i++) {
      row[i] = moment.cell(i + 1);
    }
    row[width - 1] = packMv.isPresent() ? packMv.getAsInt() * 10 : Moment.MISSING;
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

  void copy(Frames other) {
    count = 0;
    next = 0;
    for (int i = 0; i < other.count; i++) {
      System.arraycopy(other.rows[i], 0, rows[i], 0, width);
      count++;
    }
    next = count % most;
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
