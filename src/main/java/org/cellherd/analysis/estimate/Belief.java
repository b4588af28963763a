package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.stream.IntStream;

/**
 * A Gaussian over all unknowns: their means and covariance, of which both halves are the same to
 * the bit: what makes them differ grows. What observations do to the covariance is put off and done
 * for four at once while a row is at hand.
 */
final class Belief {
  /** Squared correlation below which an observation tells nothing of an unknown. */
  private static final double LEAST_SHARE = 1e-8;

  /** So many are added in one go, and as many observations put off at most. */
  private static final int FOUR = 4;

  final double[] mean;

  /** Right after {@link #settle}, not between {@link #update} and that. */
  final double[][] covariance;

  private final double[] variances;
  private final double[] gain;

  /** What observations told of each unknown, in their own standard deviations. */
  private final double[][] told;

  private final double[][] rows = new double[FOUR][];
  private final double[] weights = new double[FOUR];
  private int late;

  Belief(int size) {
    mean = new double[size];
    covariance = new double[size][size];
    variances = new double[size];
    gain = new double[size];
    told = new double[FOUR][size];
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
    for (int k = 0; k < n; k += FOUR) {
      for (int i = 0; i < FOUR; i++) {
        rows[i] = covariance[at[Math.min(k + i, n - 1)]];
        weights[i] = k + i < n ? weight[k + i] : 0;
      }
      add(gain, gain.length, rows);
    }
    for (int u = 0; u < FOUR; u++) {
      weights[u] = u < late ? -sum(told[u], at, weight, n) : 0;
    }
    add(gain, gain.length, told);
    return sum(gain, at, weight, n);
  }

  private static double sum(double[] of, int[] at, double[] weight, int n) {
    double sum = 0;
    for (int k = 0; k < n; k++) {
      sum += weight[k] * of[at[k]];
    }
    return sum;
  }

  /** Adds four by their weights: a plain loop, of which the compiler does several steps at once. */
  private void add(double[] to, int n, double[][] four) {
    double[] a = four[0];
    double[] b = four[1];
    double[] c = four[2];
    double[] d = four[3];
    double wa = weights[0];
    double wb = weights[1];
    double wc = weights[2];
    double wd = weights[3];
    for (int j = 0; j < n; j++) {
      to[j] = to[j] + wa * a[j] + wb * b[j] + wc * c[j] + wd * d[j];
    }
  }

  /**
   * Takes an observation of the sum that {@link #spread} was asked for last. Unknowns that have
   * next to nothing to do with it are left alone.
   */
  void update(double surprise, double variance) {
    if (late == FOUR) {
      settle();
    }
    if (late == 0) {
      for (int i = 0; i < variances.length; i++) {
        variances[i] = covariance[i][i];
      }
    }
    double[] share = told[late++];
    double perDeviation = 1 / Math.sqrt(variance);
    double deviations = surprise * perDeviation;
    for (int i = 0; i < gain.length; i++) {
      double by = gain[i] * perDeviation;
      share[i] = by * by > LEAST_SHARE * variances[i] ? by : 0;
    }
    for (int i = 0; i < gain.length; i++) {
      mean[i] += share[i] * deviations;
      variances[i] -= share[i] * share[i];
    }
  }

  /** Does to the covariance what was put off; nothing to a third of all rows. */
  void settle() {
    for (int i = 0; i < covariance.length; i++) {
      boolean isTold = false;
      for (int u = 0; u < FOUR; u++) {
        weights[u] = u < late ? -told[u][i] : 0;
        isTold |= weights[u] != 0;
      }
      if (isTold) {
        add(covariance[i], mean.length, told);
      }
    }
    late = 0;
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

  /**
   * Moves the first unknowns by shares of four later ones.
   *
   * @param sources which those are
   * @param shares by how much of each, for each of the first unknowns
   */
  void move(int[] sources, double[][] shares) {
    int n = shares[0].length;
    for (int u = 0; u < FOUR; u++) {
      rows[u] = covariance[sources[u]];
    }
    for (int k = 0; k < n; k++) {
      for (int u = 0; u < FOUR; u++) {
        weights[u] = shares[u][k];
        mean[k] += weights[u] * mean[sources[u]];
      }
      add(covariance[k], mean.length, rows);
    }
    for (double[] row : covariance) {
      for (int u = 0; u < FOUR; u++) {
        weights[u] = row[sources[u]];
      }
      add(row, n, shares);
    }
    for (int k = 0; k < n; k++) {
      for (int j = 0; j < k; j++) {
        covariance[j][k] = covariance[k][j];
      }
    }
  }
}
