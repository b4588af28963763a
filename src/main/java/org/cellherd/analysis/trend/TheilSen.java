package org.cellherd.analysis.trend;

import java.util.Arrays;
import java.util.Optional;

/**
 * The median of the slopes between all pairs of points, with limits by Sen (1968): stands up to 29
 * % of wild points.
 *
 * @param slope median slope
 * @param intercept median y minus slope times median x
 * @param low lower limit of the slope
 * @param high upper limit of the slope
 * @param count number of points
 */
public record TheilSen(double slope, double intercept, double low, double high, int count) {

  /** More points than this are refused: pairs grow with the square. */
  public static final int MAX_POINTS = 2000;

  /**
   * The slope through these points; empty unless two x differ.
   *
   * @param confidence of the limits, such as 0.95
   */
  public static Optional<TheilSen> through(double[] x, double[] y, double confidence) {
    int n = StraightLine.sameLength(x, y);
    if (n > MAX_POINTS) {
      throw new IllegalArgumentException(n + " points, most " + MAX_POINTS);
    }
    double[] slopes = slopes(x, y);
    if (slopes.length == 0) {
      return Optional.empty();
    }
    double slope = Medians.medianOfSorted(slopes);
    double half = Normal.quantile(0.5 + confidence / 2) * sigma(x, y);
    int low = (int) Math.max(Math.rint((slopes.length - half) / 2) - 1, 0);
    int high = (int) Math.min(Math.rint((slopes.length + half) / 2), slopes.length - 1.0);
    double intercept = Medians.median(y) - slope * Medians.median(x);
    return Optional.of(new TheilSen(slope, intercept, slopes[low], slopes[high], n));
  }

  /** The other intercept in use: the median of y - slope times x. */
  public double jointIntercept(double[] x, double[] y) {
    double[] rest = new double[StraightLine.sameLength(x, y)];
    for (int i = 0; i < rest.length; i++) {
      rest[i] = y[i] - slope * x[i];
    }
    return Medians.median(rest);
  }

  /** Standard deviation of Kendall's score, ties in x and y counted. */
  private static double sigma(double[] x, double[] y) {
    double whole = MannKendall.weight(x.length);
    return Math.sqrt(Math.max(0, whole - MannKendall.tieWeight(x) - MannKendall.tieWeight(y)) / 18);
  }

  private static double[] slopes(double[] x, double[] y) {
    double[] slopes = new double[x.length * (x.length - 1) / 2];
    int n = 0;
    for (int j = 1; j < x.length; j++) {
      for (int i = 0; i < j; i++) {
        if (x[i] != x[j]) {
          slopes[n++] = (y[j] - y[i]) / (x[j] - x[i]);
        }
      }
    }
    double[] sorted = Arrays.copyOf(slopes, n);
    Arrays.sort(sorted);
    return sorted;
  }
}
