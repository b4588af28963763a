package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.stream.IntStream;

/** A Gaussian over all unknowns: their means and covariance. */
final class Belief {
  /** Squared correlation below which an observation tells nothing of an unknown. */
  private static final double LEAST_SHARE = 1e-8;

  final double[] mean;
  final double[][] covariance;
  private final double[] gain;

  Belief(int size) {
    mean = new double[size];
    covariance = new double[size][size];
    gain = new double[size];
  }

  Belief copy() {
    Belief b = new Belief(mean.length);
    System.arraycopy(mean, 0, b.mean, 0, mean.length);
    for (int i = 0; i < mean.length; i++) {
      System.arraycopy(covariance[i], 0, b.covariance[i], 0, mean.length);
    }
    return b;
  }

  /** False where readings that no pack gives, or rounding, have left what is no number. */
  boolean isFinite() {
    return Arrays.stream(mean).allMatch(Double::isFinite)
        && Arrays.stream(covariance).flatMapToDouble(Arrays::stream).allMatch(Double::isFinite)
        && IntStream.range(0, mean.length).allMatch(i -> covariance[i][i] >= 0);
  }

  /** Variance of a weighed sum of unknowns; the covariances with it stay for {@link #update}. */
  double spread(int[] at, double[] weight, int n) {
    Arrays.fill(gain, 0);
    for (int k = 0; k < n; k++) {
      double[] row = covariance[at[k]];
      double w = weight[k];
      for (int i = 0; i < gain.length; i++) {
        gain[i] += row[i] * w;
      }
    }
    double sum = 0;
    for (int k = 0; k < n; k++) {
      sum += weight[k] * gain[at[k]];
    }
    return sum;
  }

  /**
   * Takes an observation of the sum that {@link #spread} was asked for last. Unknowns that have
   * next to nothing to do with it are left alone. They are few, so whole rows are worked through:
   * plain loops, of which the compiler works out several steps at once.
   */
  void update(double surprise, double variance) {
    for (int i = 0; i < gain.length; i++) {
      if (!(gain[i] * gain[i] > LEAST_SHARE * variance * covariance[i][i])) {
        gain[i] = 0;
      }
    }
    for (int i = 0; i < gain.length; i++) {
      double g = gain[i] / variance;
      if (g != 0) {
        mean[i] += g * surprise;
        subtract(covariance[i], g);
      }
    }
  }

  private void subtract(double[] row, double g) {
    for (int j = 0; j < row.length; j++) {
      row[j] -= g * gain[j];
    }
  }

  /** Rounding makes the two halves of a covariance differ, and what differs grows: their mean. */
  void even() {
    for (int i = 0; i < mean.length; i++) {
      for (int j = 0; j < i; j++) {
        double both = (covariance[i][j] + covariance[j][i]) / 2;
        covariance[i][j] = both;
        covariance[j][i] = both;
      }
    }
  }

  /** Lets an unknown fade towards 0. */
  void decay(int i, double share, double noise) {
    mean[i] *= share;
    for (int j = 0; j < mean.length; j++) {
      covariance[i][j] *= share;
    }
    for (int j = 0; j < mean.length; j++) {
      covariance[j][i] *= share;
    }
    covariance[i][i] += noise;
  }

  /** Moves an unknown by a share of another. */
  void move(int i, int source, double share) {
    if (share == 0) {
      return;
    }
    double[] from = covariance[source];
    double[] row = covariance[i];
    for (int j = 0; j < mean.length; j++) {
      row[j] += share * from[j];
    }
    for (int j = 0; j < mean.length; j++) {
      covariance[j][i] += share * covariance[j][source];
    }
  }
}
