package org.cellherd.analysis.trend;

import org.cellherd.analysis.state.State;

/**
 * Count, mean and variance of a stream, by Welford's update: no loss of digits where the mean is
 * large and the scatter small. Belongs to one thread.
 */
public final class Moments {
  private long count;
  private double mean;
  private double squares;

  public void add(double value) {
    count++;
    double delta = value - mean;
    mean += delta / count;
    squares += delta * (value - mean);
  }

  public long count() {
    return count;
  }

  /** Their mean; NaN before the first. */
  public double mean() {
    return count == 0 ? Double.NaN : mean;
  }

  /** Variance of the sample, divisor n - 1; NaN below two values. */
  public double variance() {
    return count < 2 ? Double.NaN : squares / (count - 1);
  }

  /** Standard deviation of the sample; NaN below two values. */
  public double deviation() {
    return Math.sqrt(variance());
  }

  public void clear() {
    count = 0;
    mean = 0;
    squares = 0;
  }

  public void state(State io) {
    count = io.number(count);
    mean = io.number(mean);
    squares = io.number(squares);
  }
}
