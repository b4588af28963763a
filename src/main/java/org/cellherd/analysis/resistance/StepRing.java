package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.stream.IntStream;
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

  /** Of a normal distribution, how much further off a median is than a mean. */
  private static final double OF_MEDIAN = Math.sqrt(Math.PI / 2);

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
    return weighted(cell - 1, cell - 1) / 1e4;
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
    return weighted(series + cell - 1, cell - 1) / 1e4;
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
    return weighted(2 * series + 1, cell - 1) / 10;
  }

  /**
   * How far the last digit and the noise of its voltages may move the median of a cell, from 1,
   * milliohm, 95 %.
   */
  double noise(int cell) {
    int told = 0;
    double known = 0;
    for (int i = 0; i < count(); i++) {
      if (rows[i][cell - 1] != Moment.MISSING) {
        told++;
        known += weight(i) * weight(i);
      }
    }
    return (told < 3 ? 1 : OF_MEDIAN) / Math.sqrt(known);
  }

  /** Steps count by what they tell: the current over the noise of the voltages, 1/milliohm. */
  private double weight(int row) {
    return rows[row][2 * series + 2] / (double) Math.max(1, rows[row][2 * series + 3]);
  }

  /** The usual cell of the kept steps, told or not, milliohm. */
  double usual() {
    return weighted(2 * series + 4, 2 * series + 4) / 1e4;
  }

  /** Median of a column by what the steps tell, of the rows that have another one, too. */
  private double weighted(int column, int other) {
    double[] weights =
        IntStream.range(0, count())
            .filter(i -> has(i, column) && has(i, other))
            .mapToDouble(this::weight)
            .toArray();
    return Medians.weighted(column(column, other), weights);
  }

  private boolean has(int row, int column) {
    return rows[row][column] != Moment.MISSING;
  }

  private double[] column(int column) {
    return column(column, column);
  }

  /** What is there in a column, of the rows that have another one, too. */
  private double[] column(int column, int other) {
    return IntStream.range(0, count())
        .filter(i -> has(i, column) && has(i, other))
        .mapToDouble(i -> rows[i][column])
        .toArray();
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
