package org.cellherd.analysis.rest;

import java.util.Arrays;
import org.cellherd.analysis.state.State;

/**
 * Each cell's distance from the median over a rest, as rows in equal steps of time. When it is
 * full, pairs of rows become one and the step doubles, so that a rest of any length fits. Belongs
 * to one thread.
 */
final class DriftSeries {
  private static final int MOST = 96;

  private final int cells;
  private final double[] hours = new double[MOST];
  private final double[][] millivolts;
  private int count;
  private int factor = 1;
  private double pendingHours;
  private final double[] pending;
  private int pendingCount;

  DriftSeries(int cells) {
    this.cells = cells;
    millivolts = new double[MOST][cells];
    pending = new double[cells];
  }

  /**
   * Takes the row of an hour: its middle, in hours since the rest began, and mV from the median.
   */
  void add(double atHours, double[] row) {
    pendingHours += atHours;
    for (int i = 0; i < cells; i++) {
      pending[i] += row[i];
    }
    pendingCount++;
    if (pendingCount == factor) {
      push();
    }
  }

  private void push() {
    if (count == MOST) {
      halve();
      if (pendingCount < factor) {
        return;
      }
    }
    hours[count] = pendingHours / pendingCount;
    for (int i = 0; i < cells; i++) {
      millivolts[count][i] = pending[i] / pendingCount;
    }
    count++;
    clearPending();
  }

  private void halve() {
    for (int row = 0; row < MOST / 2; row++) {
      hours[row] = (hours[2 * row] + hours[2 * row + 1]) / 2;
      for (int i = 0; i < cells; i++) {
        millivolts[row][i] = (millivolts[2 * row][i] + millivolts[2 * row + 1][i]) / 2;
      }
    }
    count = MOST / 2;
    factor *= 2;
  }

  private void clearPending() {
    pendingHours = 0;
    Arrays.fill(pending, 0);
    pendingCount = 0;
  }

  int count() {
    return count;
  }

  /** Hours from the first to the last row. */
  double spanHours() {
    return count < 2 ? 0 : hours[count - 1] - hours[0];
  }

  /** Times of the rows in days since the rest began. */
  double[] days() {
    double[] days = new double[count];
    for (int i = 0; i < count; i++) {
      days[i] = hours[i] / 24;
    }
    return days;
  }

  /** A cell's distance from the median, mV. */
  double[] column(int cell) {
    double[] column = new double[count];
    for (int i = 0; i < count; i++) {
      column[i] = millivolts[i][cell - 1];
    }
    return column;
  }

  /** A cell's first distance from the median, mV; NaN before the first row. */
  double first(int cell) {
    return count == 0 ? Double.NaN : millivolts[0][cell - 1];
  }

  /** A cell's newest distance from the median, mV; NaN before the first row. */
  double last(int cell) {
    return count == 0 ? Double.NaN : millivolts[count - 1][cell - 1];
  }

  void clear() {
    count = 0;
    factor = 1;
    clearPending();
  }

  void state(State io) {
    count = io.within(count, 0, MOST);
    factor = io.within(factor, 1, Integer.MAX_VALUE);
    pendingHours = io.number(pendingHours);
    pendingCount = io.number(pendingCount);
    io.each(pending);
    io.first(count, hours);
    for (int i = 0; i < count; i++) {
      io.each(millivolts[i]);
    }
  }
}
