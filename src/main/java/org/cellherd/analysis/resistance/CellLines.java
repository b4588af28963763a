package org.cellherd.analysis.resistance;

import java.util.Arrays;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/** A straight line through the voltages of each cell over some time. Belongs to one thread. */
final class CellLines {
  private static final int LEAST = 3;

  private final double[] sumMv;
  private final double[] sumTimeMv;
  private int count;
  private double first;
  private double last;
  private double sumTime;
  private double sumSquares;

  CellLines(int series) {
    sumMv = new double[series];
    sumTimeMv = new double[series];
  }

  void clear() {
    Arrays.fill(sumMv, 0);
    Arrays.fill(sumTimeMv, 0);
    count = 0;
    sumTime = 0;
    sumSquares = 0;
  }

  /** Takes the cells of the latest reading, all of which are there. */
  void add(double seconds, Moment moment) {
    first = count == 0 ? seconds : first;
    last = seconds;
    count++;
    sumTime += seconds;
    sumSquares += seconds * seconds;
    for (int i = 0; i < sumMv.length; i++) {
      double mv = moment.cell(i + 1) / 10.0;
      sumMv[i] += mv;
      sumTimeMv[i] += seconds * mv;
    }
  }

  /** True where there are enough readings for a slope. */
  boolean isKnown() {
    return count >= LEAST && last > first;
  }

  /** First reading, s. */
  double fromS() {
    return first;
  }

  /** Last reading, s. */
  double toS() {
    return last;
  }

  /** Slope of a cell, from 1, mV a second. */
  double slope(int cell) {
    return (sumTimeMv[cell - 1] - sumTime * sumMv[cell - 1] / count) / spread();
  }

  /** How far that may be off for every millivolt that each voltage is off by. */
  double slopeError() {
    return 1 / Math.sqrt(spread());
  }

  private double spread() {
    return sumSquares - sumTime * sumTime / count;
  }

  void state(State io) {
    io.each(sumMv);
    io.each(sumTimeMv);
    count = io.number(count);
    first = io.number(first);
    last = io.number(last);
    sumTime = io.number(sumTime);
    sumSquares = io.number(sumSquares);
  }
}
