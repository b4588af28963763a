package org.cellherd.analysis.trend;

/** Student's t distribution, by the regularised incomplete beta function. */
final class StudentT {
  private StudentT() {}

  /** Probability that |T| of so many degrees of freedom is above t &ge; 0. */
  public static double twoSided(double t, int freedom) {
    return incompleteBeta(freedom / (freedom + t * t), freedom / 2.0, 0.5);
  }

  /**
   * The t with P(|T| &le; t) = confidence.
   *
   * @param confidence such as 0.95, between 0 and 1
   * @param freedom degrees of freedom, at least 1
   */
  public static double forConfidence(double confidence, int freedom) {
    if (!(confidence > 0 && confidence < 1) || freedom < 1) {
      throw new IllegalArgumentException(
          "confidence " + confidence + ", degrees of freedom " + freedom);
    }
    double low = 0;
    double high = 1;
    while (twoSided(high, freedom) > 1 - confidence) {
      high *= 2;
    }
    for (int i = 0; i < 200 && high - low > 1e-14 * high; i++) {
      double middle = (low + high) / 2;
      if (twoSided(middle, freedom) > 1 - confidence) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }

  private static double incompleteBeta(double x, double a, double b) {
    if (x <= 0 || x >= 1) {
      return x <= 0 ? 0 : 1;
    }
    double front =
        Math.exp(
            logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
    return x < (a + 1) / (a + b + 2)
        ? front * fraction(x, a, b) / a
        : 1 - front * fraction(1 - x, b, a) / b;
  }

  /** Continued fraction of the incomplete beta function, evaluated by Lentz's method. */
  private static double fraction(double x, double a, double b) {
    double c = 1;
    double d = 1 / nonZero(1 - (a + b) * x / (a + 1));
    double h = d;
    for (int m = 1; m <= 500; m++) {
      double even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m));
      d = 1 / nonZero(1 + even * d);
      c = nonZero(1 + even / c);
      h *= d * c;
      double odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1));
      d = 1 / nonZero(1 + odd * d);
      c = nonZero(1 + odd / c);
      double step = d * c;
      h *= step;
      if (Math.abs(step - 1) < 1e-16) {
        break;
      }
    }
    return h;
  }

  private static double nonZero(double value) {
    return Math.abs(value) < 1e-300 ? 1e-300 : value;
  }

  /** Stirling's series after shifting the argument above 15. */
  private static double logGamma(double x) {
    double shift = 0;
    double z = x;
    while (z < 15) {
      shift -= Math.log(z);
      z++;
    }
    double inverse = 1 / z;
    double square = inverse * inverse;
    double tail =
        inverse
            * (1.0 / 12
                - square
                    * (1.0 / 360 - square * (1.0 / 1260 - square * (1.0 / 1680 - square / 1188))));
    return shift + (z - 0.5) * Math.log(z) - z + 0.5 * Math.log(2 * Math.PI) + tail;
  }
}
