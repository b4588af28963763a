package org.cellherd.analysis.rest;

import java.util.Arrays;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Reading;

/** One rest as it goes on. Belongs to one thread. */
final class Rest {
  private static final int DEFAULT_RESOLUTION = 10;

  private final int cells;
  private final Moment moment;
  private final HourBlock hour;
  private final DriftSeries drift;
  private long startUpMs;
  private long relaxMs;
  private long lastUpMs;
  private long hourEndMs;
  private int hours;
  private long measuredUpMs;
  private int resolution = DEFAULT_RESOLUTION;
  private boolean hasBled;
  private double median = Double.NaN;
  private double medianBefore = Double.NaN;

  Rest(int cells, Moment moment) {
    this.cells = cells;
    this.moment = moment;
    hour = new HourBlock(cells);
    drift = new DriftSeries(cells);
  }

  void begin(long startsUpMs, long relaxesMs) {
    startUpMs = startsUpMs;
    relaxMs = relaxesMs;
    lastUpMs = startsUpMs;
    drift.clear();
    hours = 0;
    measuredUpMs = startsUpMs;
    hasBled = false;
    median = Double.NaN;
    medianBefore = Double.NaN;
    hour.begin(relaxMs);
    hourEndMs = relaxMs + HourBlock.HOUR_MS;
  }

  void add(Reading reading) {
    lastUpMs = moment.readingUpMs();
    hasBled |= reading.bleedMask().orElse(0) != 0;
    learnResolution();
    long at = lastUpMs - startUpMs;
    if (at < relaxMs) {
      return;
    }
    if (at >= hourEndMs) {
      closeHour();
      long begin = hourEndMs + (at - hourEndMs) / HourBlock.HOUR_MS * HourBlock.HOUR_MS;
      hour.begin(begin);
      hourEndMs = begin + HourBlock.HOUR_MS;
    }
    hour.add(at, moment);
  }

  private void learnResolution() {
    for (int cell = 1; cell <= cells; cell++) {
      int before = moment.cellBefore(cell);
      int moved = Math.abs(moment.cell(cell) - before);
      if (before != Moment.MISSING && moved > 0 && moved < resolution) {
        resolution = moved;
      }
    }
  }

  private void closeHour() {
    if (hour.close()) {
      double[] row = hour.medians();
      double middle = (hourEndMs - HourBlock.HOUR_MS / 2.0) / HourBlock.HOUR_MS;
      drift.add(middle, Arrays.copyOf(row, cells));
      medianBefore = median;
      median = row[cells];
      hours++;
      measuredUpMs = startUpMs + hourEndMs;
    }
  }

  DriftSeries drift() {
    return drift;
  }

  /** Hours measured after relaxation. */
  int hours() {
    return hours;
  }

  long startUpMs() {
    return startUpMs;
  }

  /** Fold time of the end of the last measured hour; the start before the first. */
  long measuredUpMs() {
    return measuredUpMs;
  }

  /** Changes whenever a report on the measured hours would. */
  long key() {
    return (measuredUpMs * 16 + resolution) * 2 + (hasBled ? 1 : 0);
  }

  long lastUpMs() {
    return lastUpMs;
  }

  long lengthMs() {
    return lastUpMs - startUpMs;
  }

  /** Smallest step of a cell's voltage seen, mV. */
  double resolutionMv() {
    return resolution / 10.0;
  }

  /** True when the board told of bleeding. */
  boolean hasBled() {
    return hasBled;
  }

  /** Median cell over the last hour, mV; NaN before the first. */
  double medianMv() {
    return median;
  }

  /** True when the median cell moved by less than 2 mV from one hour to the next. */
  boolean isSettled() {
    return Math.abs(median - medianBefore) < 2;
  }

  void state(State io) {
    hour.state(io);
    drift.state(io);
    startUpMs = io.number(startUpMs);
    relaxMs = io.number(relaxMs);
    lastUpMs = io.number(lastUpMs);
    hourEndMs = io.number(hourEndMs);
    hours = io.number(hours);
    measuredUpMs = io.number(measuredUpMs);
    resolution = io.number(resolution);
    hasBled = io.flag(hasBled);
    median = io.number(median);
    medianBefore = io.number(medianBefore);
  }
}
