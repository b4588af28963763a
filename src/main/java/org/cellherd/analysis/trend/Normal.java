package org.cellherd.analysis.trend;

/** The standard normal distribution. */
public final class Normal {
  private static final double SQRT_2_PI = Math.sqrt(2 * Math.PI);
  private static final double FAR = 40;

  private Normal() {}

  /** Probability of a value above z. */
  public static double upperTail(double z) {
    if (z < 0) {
      return 1 - upperTail(-z);
    }
    if (z > FAR) {
      return 0;
    }
    return z < 3 ? 0.5 - density(z) * series(z) : density(z) * continuedFraction(z);
  }

  /**
   * The z that a share p of values stays below.
   *
   * @throws IllegalArgumentException unless 0 &lt; p &lt; 1
   */
  public static double quantile(double p) {
    if (!(p > 0 && p < 1)) {
      throw new IllegalArgumentException("probability " + p + ", must lie between 0 and 1");
    }
    if (p > 0.5) {
      return -quantile(1 - p);
    }
    double low = -FAR;
    double high = 0;
    for (int i = 0; i < 200 && high - low > 1e-15; i++) {
      double middle = (low + high) / 2;
      if (upperTail(-middle) < p) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }

  private static double density(double z) {
    return Math.exp(-z * z / 2) / SQRT_2_PI;
  }

  /** Area from 0 to z over the density: z + z^3/3 + z^5/15 + ... */
  private static double series(double z) {
    double term = z;
    double sum = z;
    for (int k = 3; term > sum * 1e-17; k += 2) {
      term *= z * z / k;
      sum += term;
    }
    return sum;
  }

  /** Laplace's continued fraction of the tail over the density. */
  private static double continuedFraction(double z) {
    double value = z;
    for (int k = 120; k >= 1; k--) {
      value = z + k / value;
    }
    return 1 / value;
  }
}
