package org.cellherd.analysis.estimate;

import org.cellherd.pack.Chemistry;

/**
 * What is known beforehand of charge over rested voltage, in increments between knots. The
 * increments' logarithms are unknown; this is their usual value, how far off it may be, and that
 * neighbours err alike.
 */
final class Curve {
  /** Increments between knots. */
  static final int STEPS = 24;

  /** The common scale of makers and curves, the smooth shape, and a little of each increment. */
  private static final double COMMON = 0.35;

  private static final double SMOOTH = 0.61;
  private static final double OWN = 0.04;
  private static final double REACH = 18;

  private final double[] knots;
  private final double[] increments = new double[STEPS];
  private final double[] spread = new double[STEPS];

  private Curve(double[] knots, Usual usual, double ratedAh) {
    this.knots = knots;
    for (int j = 0; j < STEPS; j++) {
      double middle = (knots[j] + knots[j + 1]) / 2 - usual.shift;
      double perMv = Math.exp(between(usual.volts, usual.logShares, middle));
      increments[j] = perMv / 100 * ratedAh * (knots[j + 1] - knots[j]) * 1000;
      spread[j] = between(usual.volts, usual.spreads, middle);
    }
  }

  /** Rated Ah in percent a mV by rested voltage, straight in the logarithm, and its error. */
  @SuppressWarnings("ArrayRecordComponent")
  private record Usual(double[] volts, double[] logShares, double[] spreads, double shift) {}

  /** The usual curve of a chemistry, its plateau moved by so many V. */
  static Curve of(Chemistry chemistry, double ratedAh, double shift) {
    double[][] t = table(chemistry);
    double[] logs = new double[t[1].length];
    for (int i = 0; i < logs.length; i++) {
      logs[i] = Math.log(t[1][i]);
    }
    double[] knots = knots(chemistry);
    for (int i = 0; i < knots.length; i++) {
      knots[i] += shift;
    }
    return new Curve(knots, new Usual(t[0], logs, t[2], shift), ratedAh);
  }

  private static double[] knots(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP ->
          new double[] {
            3.290, 3.305, 3.315, 3.323, 3.330, 3.336, 3.341, 3.345, 3.349, 3.353, 3.357, 3.362,
            3.368, 3.376, 3.386, 3.398, 3.413, 3.431, 3.453, 3.479, 3.510, 3.548, 3.594, 3.655,
            3.740
          };
      case NMC, NCA -> even(3.62, 4.30);
      case LTO -> even(2.24, 2.86);
      case SODIUM_ION -> even(3.04, 4.06);
    };
  }

  private static double[] even(double low, double high) {
    double[] knots = new double[STEPS + 1];
    for (int i = 0; i <= STEPS; i++) {
      knots[i] = low + (high - low) * i / STEPS;
    }
    return knots;
  }

  /** Volts, percent of rated a mV, error of its logarithm (published curves, from memory). */
  private static double[][] table(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP ->
          new double[][] {
            {3.29, 3.34, 3.355, 3.37, 3.40, 3.43, 3.50, 3.60, 3.75},
            {2.5, 1.2, 0.15, 0.05, 0.020, 0.012, 0.007, 0.005, 0.004},
            {1.2, 1.2, 1.2, 1.0, 0.8, 0.65, 0.6, 0.6, 0.6}
          };
      case NMC, NCA ->
          new double[][] {{3.6, 3.8, 4.1, 4.3}, {0.15, 0.15, 0.17, 0.15}, {0.5, 0.4, 0.4, 0.6}};
      case LTO ->
          new double[][] {
            {2.24, 2.35, 2.42, 2.50, 2.60, 2.86},
            {0.5, 0.4, 0.25, 0.10, 0.04, 0.015},
            {0.8, 0.8, 0.8, 0.7, 0.7, 0.7}
          };
      case SODIUM_ION ->
          new double[][] {{3.0, 3.6, 3.75, 4.06}, {0.09, 0.09, 0.07, 0.04}, {0.4, 0.4, 0.5, 0.6}};
    };
  }

  private static double between(double[] x, double[] y, double at) {
    int i = 1;
    while (i < x.length - 1 && at > x[i]) {
      i++;
    }
    double share = Math.min(1, Math.max(0, (at - x[i - 1]) / (x[i] - x[i - 1])));
    return y[i - 1] + share * (y[i] - y[i - 1]);
  }

  /** Usual increment between a knot and the next, Ah. */
  double increment(int j) {
    return increments[j];
  }

  /** Covariance of the errors of two increments' logarithms. */
  double covariance(int j, int k) {
    double near = COMMON + SMOOTH * Math.exp(-(j - k) * (j - k) / REACH) + (j == k ? OWN : 0);
    return near * spread[j] * spread[k];
  }

  double lowest() {
    return knots[0];
  }

  double highest() {
    return knots[STEPS];
  }

  /** Distance of the knots around a voltage, V. */
  double gap(double volts) {
    int j = 1;
    while (j < STEPS && knots[j] < volts) {
      j++;
    }
    return knots[j] - knots[j - 1];
  }

  /** Charge from the top knot at a voltage as weights of the increments, not above 0. */
  void weights(double volts, double[] into) {
    for (int j = 0; j < STEPS; j++) {
      double share = (volts - knots[j]) / (knots[j + 1] - knots[j]);
      into[j] = (j == STEPS - 1 ? Math.max(0, share) : Math.min(1, Math.max(0, share))) - 1;
    }
  }

  /** Charge at a voltage, Ah from the top knot. */
  double charge(double volts, double[] increments) {
    double sum = 0;
    for (int j = 0; j < STEPS; j++) {
      double share = (volts - knots[j]) / (knots[j + 1] - knots[j]);
      sum +=
          increments[j]
              * ((j == STEPS - 1 ? Math.max(0, share) : Math.min(1, Math.max(0, share))) - 1);
    }
    return sum;
  }
}
