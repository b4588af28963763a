package org.cellherd.analysis.rest;

import java.util.Arrays;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;

/**
 * One hour of rest: means over five minutes let the last digit of the board show tenths of it, the
 * median of the twelve lets no spike through. Belongs to one thread.
 */
final class HourBlock {
  private static final int PARTS = 12;
  private static final long PART_MS = 300_000;

  static final long HOUR_MS = PARTS * PART_MS;

  private final int cells;
  private final double[][] parts;
  private final long[] sums;
  private int samples;
  private int filled;
  private long partEndMs;

  HourBlock(int cells) {
    this.cells = cells;
    parts = new double[PARTS][cells + 1];
    sums = new long[cells + 1];
  }

  /** Begins at this time since the rest began. */
  void begin(long atMs) {
    partEndMs = atMs + PART_MS;
    filled = 0;
    clearSums();
  }

  /** Takes the latest reading, so long after the rest began. */
  void add(long atMs, Moment moment) {
    if (atMs >= partEndMs) {
      closePart();
      partEndMs += (atMs - partEndMs) / PART_MS * PART_MS + PART_MS;
    }
    int median = moment.median();
    for (int i = 0; i < cells; i++) {
      sums[i] += moment.cell(i + 1) - median;
    }
    sums[cells] += median;
    samples++;
  }

  private void closePart() {
    if (samples > 0 && filled < PARTS) {
      for (int i = 0; i <= cells; i++) {
        parts[filled][i] = sums[i] / (10.0 * samples);
      }
      filled++;
    }
    clearSums();
  }

  private void clearSums() {
    Arrays.fill(sums, 0);
    samples = 0;
  }

  /** True when something was heard. */
  boolean close() {
    closePart();
    return filled > 0;
  }

  /** Medians of the closed hour: each cell's distance from the median, then the median cell, mV. */
  double[] medians() {
    double[] row = new double[cells + 1];
    for (int i = 0; i <= cells; i++) {
      double[] values = new double[filled];
      for (int p = 0; p < filled; p++) {
        values[p] = parts[p][i];
      }
      row[i] = Medians.median(values);
    }
    return row;
  }

  void state(State io) {
    samples = io.number(samples);
    filled = io.within(filled, 0, PARTS);
    partEndMs = io.number(partEndMs);
    io.each(sums);
    for (int p = 0; p < filled; p++) {
      io.each(parts[p]);
    }
  }
}
