package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.stream.LongStream;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.Ring;

/**
 * The newest resistances of one pulse length and range of temperatures: a column for each cell, in
 * tenths of a micro-ohm, one for each for what else than noise it may be off by, alike, one for the
 * links, one for the temperature, 0.1 degC, one for the size of the step, mA, one for the noise of
 * its change of voltage, microvolts, and one for the usual cell of the step, tenths of a micro-ohm.
 * Belongs to one thread.
 */
final class StepRing {
  private static final int KEPT = 40;

  /** Columns beside those of the cells. */
  static final int BESIDE = 5;

  private final int series;
  private final int width;
  private final int[][] rows = new int[KEPT][];
  private final long[] upMs = new long[KEPT];
  private final Ring ring = new Ring(KEPT);
  private long total;

  StepRing(int series) {
    this.series = series;
    width = width(series);
  }

  /** Columns of a row. */
  static int width(int series) {
    return 2 * series + BESIDE;
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
    StepRing later = new StepRing(series);
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

  /** Median of a cell, from 1, milliohm; NaN when it was never told. */
  double median(int cell) {
    return Medians.median(column(cell - 1)) / 1e4;
  }

  /** Median absolute deviation of a cell, from 1, milliohm. */
  double mad(int cell) {
    return Medians.mad(column(cell - 1)) / 1e4;
  }

  /** How many of the kept steps told a cell, from 1. */
  int count(int cell) {
    return column(cell - 1).length;
  }

  /** What else than noise that may be off by, milliohm: the same for many steps as for one. */
  double bias(int cell) {
    return Medians.median(column(series + cell - 1)) / 1e4;
  }

  /** Median of links and switches, milliohm; NaN when it was never told. */
  double path() {
    return Medians.median(column(2 * series)) / 1e4;
  }

  /** Median absolute deviation of links and switches, milliohm. */
  double pathMad() {
    return Medians.mad(column(2 * series)) / 1e4;
  }

  /**
   * Median temperature of the kept steps, degC; NaN when it was never told. A cell's resistance
   * moves by 2 to 5 % a kelvin, so the range that steps were sorted into would name it too
   * coarsely.
   */
  double celsius() {
    return Medians.median(column(2 * series + 1)) / 10;
  }

  /** Median temperature of the kept steps that told a cell, from 1; alike. */
  double celsius(int cell) {
    return Medians.median(column(2 * series + 1, cell - 1)) / 10;
  }

  /** Median size of the kept steps, A. */
  double amperes() {
    return Medians.median(column(2 * series + 2)) / 1000;
  }

  /** Median of how far noise may move a change of voltage, mV. */
  double noiseMv() {
    return Medians.median(column(2 * series + 3)) / 1000;
  }

  /** The usual cell of the kept steps, told or not, milliohm. */
  double usual() {
    return Medians.median(column(2 * series + 4)) / 1e4;
  }

  private double[] column(int column) {
    return column(column, column);
  }

  /** What is there in a column, of the rows that have another one, too. */
  private double[] column(int column, int other) {
    double[] values = new double[count()];
    int n = 0;
    for (int i = 0; i < values.length; i++) {
      if (rows[i][column] != Moment.MISSING && rows[i][other] != Moment.MISSING) {
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
