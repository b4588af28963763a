package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.stream.LongStream;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.Ring;

/**
 * The newest resistances of one pulse length and range of temperatures: a column for each cell, one
 * for the links, in tenths of a micro-ohm, one for the temperature, 0.1 degC, one for the size of
 * the step, mA, and a last one for what else than noise it may be off by, a thousandth. Belongs to
 * one thread.
 */
final class StepRing {
  private static final int KEPT = 40;

  /** Columns beside the cells. */
  static final int BESIDE = 4;

  private final int width;
  private final int[][] rows = new int[KEPT][];
  private final long[] upMs = new long[KEPT];
  private final Ring ring = new Ring(KEPT);
  private long total;

  StepRing(int series) {
    width = series + BESIDE;
  }

  /** Takes a row of this time, which must not change afterwards. */
  void add(int[] row, long atUpMs) {
    int place = ring.next();
    rows[place] = row;
    upMs[place] = atUpMs;
    total++;
  }

  /**
   * The kept steps from this time on. Where none had to be left out there may have been more than
   * are kept: they still count in the total.
   */
  StepRing since(long fromUpMs) {
    StepRing later = new StepRing(width - BESIDE);
    for (int i = 0; i < count(); i++) {
      int place = ring.oldest(i);
      if (upMs[place] >= fromUpMs) {
        later.add(rows[place], upMs[place]);
      }
    }
    later.total = later.count() == count() ? total : later.count();
    return later;
  }

  /** Times of the kept steps, in no order. */
  LongStream times() {
    return Arrays.stream(upMs, 0, count());
  }

  /** How many steps are kept. */
  int count() {
    return ring.size();
  }

  /** How many steps there were in all. */
  long total() {
    return total;
  }

  /** Median of a column, milliohm; NaN when it was never told. */
  double median(int column) {
    double[] values = column(column);
    return Medians.median(values) / 1e4;
  }

  /** Median absolute deviation of a column, milliohm. */
  double mad(int column) {
    return Medians.mad(column(column)) / 1e4;
  }

  /**
   * Median temperature of the kept steps, degC; NaN when it was never told. A cell's resistance
   * moves by 2 to 5 % a kelvin, so the range that steps were sorted into would name it too
   * coarsely.
   */
  double celsius() {
    return Medians.median(column(width - 3)) / 10;
  }

  /** Median size of the kept steps, A. */
  double amperes() {
    return Medians.median(column(width - 2)) / 1000;
  }

  /** What else than noise they may be off by, a share: the same for many steps as for one. */
  double bias() {
    return Medians.median(column(width - 1)) / 1000;
  }

  private double[] column(int column) {
    double[] values = new double[count()];
    int n = 0;
    for (int i = 0; i < values.length; i++) {
      if (rows[i][column] != Moment.MISSING) {
        values[n++] = rows[i][column];
      }
    }
    return Arrays.copyOf(values, n);
  }

  void state(State io) {
    ring.state(io);
    total = io.number(total);
    for (int i = 0; i < count(); i++) {
      upMs[i] = io.number(upMs[i]);
      rows[i] = rows[i] == null ? new int[width] : rows[i];
      io.each(rows[i]);
    }
  }
}
