package org.cellherd.analysis.ageing;

/**
 * The two-sided tabular cumulative-sum chart: finds a small lasting shift of the mean, and when it
 * began (Montgomery, Introduction to Statistical Quality Control; NIST/SEMATECH e-Handbook
 * 6.3.2.3). Belongs to one thread.
 */
final class Cusum {
  private final double target;
  private final double slack;
  private final double limit;
  private double high;
  private double low;
  private long highRun;
  private long lowRun;
  private long count;

  /**
   * A chart that starts at zero.
   *
   * @param target the mean before any shift
   * @param slack half the shift to be found, in units of x
   * @param limit the sum above which the chart alarms, in units of x
   */
  public Cusum(double target, double slack, double limit) {
    this.target = target;
    this.slack = slack;
    this.limit = limit;
  }

  /** The usual chart for a shift of one sigma: slack 0.5 sigma, limit 5 sigma. */
  public static Cusum ofSigma(double target, double sigma) {
    return new Cusum(target, 0.5 * sigma, 5 * sigma);
  }

  /** Takes a value; true while an arm stands above the limit. */
  public boolean add(double x) {
    count++;
    high = Math.max(0, high + x - target - slack);
    low = Math.max(0, low + target - slack - x);
    highRun = high > 0 ? highRun + 1 : 0;
    lowRun = low > 0 ? lowRun + 1 : 0;
    return isAlarm();
  }

  /** True while an arm stands above the limit. */
  public boolean isAlarm() {
    return high > limit || low > limit;
  }

  /** Sum of the arm that looks for a rise. */
  public double high() {
    return high;
  }

  /** Sum of the arm that looks for a fall. */
  public double low() {
    return low;
  }

  /** Number of values since the higher arm last stood at zero: the shift began with the first. */
  public long run() {
    return high >= low ? highRun : lowRun;
  }

  /** Number of the last value before the shift began, counting from 1. */
  public long onset() {
    return count - run();
  }
}
