package org.cellherd.analysis.estimate;

import java.util.Arrays;
import org.cellherd.pack.CellSheet;
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

  private Curve(CellSheet.Knee knee, double[] knots, double shift, double ratedAh) {
    this.knots = knots;
    for (int j = 0; j < STEPS; j++) {
      double middle = (knots[j] + knots[j + 1]) / 2 - shift;
      double perMv = Math.exp(knee.logPctPerMv(middle));
      increments[j] = perMv / 100 * ratedAh * (knots[j + 1] - knots[j]) * 1000;
      spread[j] = knee.logErrorAt(middle);
    }
  }

  /** The usual curve of a chemistry, its plateau moved by so many V. */
  static Curve of(Chemistry chemistry, double ratedAh, double shift) {
    CellSheet.Knee knee = chemistry.sheet().knee();
    double[] knots = Arrays.stream(knee.knotsV()).map(v -> v + shift).toArray();
    return new Curve(knee, knots, shift, ratedAh);
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
      into[j] = weight(volts, j);
    }
  }

  /** Charge at a voltage, Ah from the top knot. */
  double charge(double volts, double[] increments) {
    double sum = 0;
    for (int j = 0; j < STEPS; j++) {
      sum += increments[j] * weight(volts, j);
    }
    return sum;
  }

  /** What lies beyond the top goes on as the last increment does. */
  private double weight(double volts, int j) {
    if (volts <= knots[j]) {
      return -1;
    }
    boolean isFull = volts >= knots[j + 1] && j < STEPS - 1;
    return isFull ? 0 : (volts - knots[j]) / (knots[j + 1] - knots[j]) - 1;
  }
}
