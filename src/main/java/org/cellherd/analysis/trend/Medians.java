package org.cellherd.analysis.trend;

import java.util.Arrays;

/** Medians of small sets of numbers: statistics that a few wild values cannot move. */
public final class Medians {
  /** Turns a median absolute deviation into the standard deviation of normal scatter. */
  public static final double MAD_TO_SIGMA = 1.4826;

  private Medians() {}

  /** Median, of an even count the mean of the middle two; NaN of no values. */
  public static double median(double... values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    return medianOfSorted(sorted);
  }

  /** Median of the absolute distances from the median; NaN of no values. */
  public static double mad(double... values) {
    double middle = median(values);
    return median(Arrays.stream(values).map(v -> Math.abs(v - middle)).toArray());
  }

  static double medianOfSorted(double[] sorted) {
    int n = sorted.length;
    if (n == 0) {
      return Double.NaN;
    }
    return n % 2 == 1 ? sorted[n / 2] : (sorted[n / 2 - 1] + sorted[n / 2]) / 2;
  }
}
