package org.cellherd.analysis.trend;

import java.util.Arrays;
import java.util.Comparator;
import java.util.stream.IntStream;

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

  /**
   * Median of values that count by their weights, between the two middle ones by how much lies on
   * each side: that of equal weights is {@link #median}; NaN of no values.
   */
  public static double weighted(double[] values, double[] weights) {
    int[] order =
        IntStream.range(0, values.length)
            .boxed()
            .sorted(Comparator.comparingDouble(i -> values[i]))
            .mapToInt(Integer::intValue)
            .toArray();
    double half = Arrays.stream(weights).sum() / 2;
    double below = 0;
    double before = Double.NaN;
    double beforeAt = 0;
    for (int i : order) {
      double at = below + weights[i] / 2;
      if (at >= half) {
        double share = (half - beforeAt) / (at - beforeAt);
        return Double.isNaN(before) ? values[i] : before + share * (values[i] - before);
      }
      below += weights[i];
      before = values[i];
      beforeAt = at;
    }
    return before;
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
