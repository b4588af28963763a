package org.cellherd.analysis.trend;

import java.util.Optional;

/**
 * A straight line through points by least squares, with its standard errors.
 *
 * @param intercept y at x = 0
 * @param slope y per x
 * @param interceptError standard error of the intercept; NaN of two points
 * @param slopeError standard error of the slope; NaN of two points
 * @param residualDeviation standard deviation of y about the line, n - 2 degrees of freedom; NaN of
 *     two points
 * @param count number of points
 * @param meanX mean of x
 * @param meanY mean of y
 * @param sumSquaresX sum of squares of x about its mean
 * @param spanX greatest minus least x
 */
public record StraightLine(
    double intercept,
    double slope,
    double interceptError,
    double slopeError,
    double residualDeviation,
    int count,
    double meanX,
    double meanY,
    double sumSquaresX,
    double spanX) {

  /** The line through these points; empty unless two x differ. */
  public static Optional<StraightLine> through(double[] x, double[] y) {
    int n = sameLength(x, y);
    double meanX = mean(x);
    double meanY = mean(y);
    double sxx = 0;
    double sxy = 0;
    for (int i = 0; i < n; i++) {
      double dx = x[i] - meanX;
      sxx += dx * dx;
      sxy += dx * (y[i] - meanY);
    }
    if (!(sxx > 0)) {
      return Optional.empty();
    }
    double slope = sxy / sxx;
    double s = residualDeviation(x, y, slope, meanX, meanY);
    double interceptError = s * Math.sqrt(1.0 / n + meanX * meanX / sxx);
    return Optional.of(
        new StraightLine(
            meanY - slope * meanX,
            slope,
            interceptError,
            s / Math.sqrt(sxx),
            s,
            n,
            meanX,
            meanY,
            sxx,
            span(x)));
  }

  /**
   * By how many of its standard errors a figure of the line is off at the most, at a confidence
   * such as 0.95, by Student's t; infinite of two points.
   */
  public double errors(double confidence) {
    return count > 2 ? StudentT.forConfidence(confidence, count - 2) : Double.POSITIVE_INFINITY;
  }

  /**
   * The common length of two arrays.
   *
   * @throws IllegalArgumentException if they differ in it
   */
  public static int sameLength(double[] x, double[] y) {
    if (x.length != y.length) {
      throw new IllegalArgumentException(x.length + " x but " + y.length + " y");
    }
    return x.length;
  }

  private static double residualDeviation(
      double[] x, double[] y, double slope, double meanX, double meanY) {
    double sum = 0;
    for (int i = 0; i < x.length; i++) {
      double r = y[i] - meanY - slope * (x[i] - meanX);
      sum += r * r;
    }
    return x.length < 3 ? Double.NaN : Math.sqrt(sum / (x.length - 2));
  }

  private static double mean(double[] values) {
    Moments moments = new Moments();
    for (double value : values) {
      moments.add(value);
    }
    return moments.mean();
  }

  private static double span(double[] x) {
    double low = Double.POSITIVE_INFINITY;
    double high = Double.NEGATIVE_INFINITY;
    for (double value : x) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    return high - low;
  }
}
