package org.cellherd.alert.rule;

import org.cellherd.analysis.state.State;

/** The mean of a current over the last half hour, minute by minute. Belongs to one thread. */
final class LoadMean {
  private static final int MINUTES = 30;
  private static final long MINUTE_MS = 60_000;

  private final double[] sums = new double[MINUTES];
  private final long[] counts = new long[MINUTES];
  private long minute = -1;

  /** Takes a current, A, at an age in ms that never falls. */
  public void add(long ageMs, double amperes) {
    long now = ageMs / MINUTE_MS;
    for (long next = Math.max(minute + 1, now - MINUTES + 1); next <= now; next++) {
      sums[(int) (next % MINUTES)] = 0;
      counts[(int) (next % MINUTES)] = 0;
    }
    minute = Math.max(minute, now);
    sums[(int) (minute % MINUTES)] += amperes;
    counts[(int) (minute % MINUTES)]++;
  }

  /** Mean of the minutes that were heard; NaN before the first. */
  public double amperes() {
    double sum = 0;
    int heard = 0;
    for (int i = 0; i < MINUTES; i++) {
      if (counts[i] > 0) {
        sum += sums[i] / counts[i];
        heard++;
      }
    }
    return heard == 0 ? Double.NaN : sum / heard;
  }

  public void state(State io) {
    minute = io.number(minute);
    io.each(sums);
    io.each(counts);
  }
}
