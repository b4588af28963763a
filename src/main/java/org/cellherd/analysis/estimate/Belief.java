package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.stream.IntStream;

/**
 * A Gaussian over all unknowns: their means and covariance. An observation asks for few rows of the
 * covariance, and changes all: what it does to the others is put off until they are asked for, or
 * until {@link #even}, and then done for several at once while a row is at hand. Each number goes
 * through the same steps in the same order as if nothing had been put off.
 */
final class Belief {
  /** Squared correlation below which an observation tells nothing of an unknown. */
  private static final double LEAST_SHARE = 1e-8;

  /** Observations put off at most: those of a usual pack's cells in one block. */
  private static final int MOST_LATE = 16;

  /** Rows and columns that are evened out together stay in the processor's nearest cache. */
  private static final int TILE = 8;

  final double[] mean;

  /** Right after {@link #even}, not between {@link #update} and that. */
  final double[][] covariance;

  private final double[] variances;
  private final double[] gain;
  private final double[][] gains;
  private final double[][] shares;
  private final int[] taken;
  private int late;

  Belief(int size) {
    mean = new double[size];
    covariance = new double[size][size];
    variances = new double[size];
    gain = new double[size];
    gains = new double[MOST_LATE][size];
    shares = new double[MOST_LATE][size];
    taken = new int[size];
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
    int k = 0;
    for (; k + 1 < n; k += 2) {
      add(row(at[k]), weight[k], row(at[k + 1]), weight[k + 1]);
    }
    if (k < n) {
      add(row(at[k]), weight[k]);
    }
    double sum = 0;
    for (k = 0; k < n; k++) {
      sum += weight[k] * gain[at[k]];
    }
    return sum;
  }

  private void add(double[] row, double w) {
    for (int i = 0; i < gain.length; i++) {
      gain[i] += row[i] * w;
    }
  }

  private void add(double[] a, double wa, double[] b, double wb) {
    for (int i = 0; i < gain.length; i++) {
      gain[i] = gain[i] + a[i] * wa + b[i] * wb;
    }
  }

  /**
   * Takes an observation of the sum that {@link #spread} was asked for last. Unknowns that have
   * next to nothing to do with it are left alone.
   */
  void update(double surprise, double variance) {
    if (late == 0) {
      for (int i = 0; i < variances.length; i++) {
        variances[i] = covariance[i][i];
      }
    } else if (late == MOST_LATE) {
      settle();
    }
    double[] kept = gains[late];
    double[] share = shares[late];
    late++;
    for (int i = 0; i < gain.length; i++) {
      boolean isTold = gain[i] * gain[i] > LEAST_SHARE * variance * variances[i];
      kept[i] = isTold ? gain[i] : 0;
      share[i] = kept[i] / variance;
      mean[i] += share[i] * surprise;
      variances[i] -= share[i] * kept[i];
    }
  }

  /** A row with all that was observed. */
  private double[] row(int i) {
    double[] row = covariance[i];
    int u = taken[i];
    for (; u + 3 < late; u += 4) {
      subtract(row, i, u);
    }
    for (; u < late; u++) {
      subtract(row, shares[u][i], gains[u]);
    }
    taken[i] = late;
    return row;
  }

  private static void subtract(double[] row, double g, double[] gain) {
    if (g != 0) {
      for (int j = 0; j < row.length; j++) {
        row[j] -= g * gain[j];
      }
    }
  }

  /** Four observations in one go: plain loops, of which the compiler does several steps at once. */
  private void subtract(double[] row, int i, int u) {
    double g = shares[u][i];
    double g1 = shares[u + 1][i];
    double g2 = shares[u + 2][i];
    double g3 = shares[u + 3][i];
    double[] a = gains[u];
    double[] b = gains[u + 1];
    double[] c = gains[u + 2];
    double[] d = gains[u + 3];
    for (int j = 0; j < row.length; j++) {
      row[j] = row[j] - g * a[j] - g1 * b[j] - g2 * c[j] - g3 * d[j];
    }
  }

  private void settle() {
    for (int i = 0; i < covariance.length; i++) {
      row(i);
    }
    Arrays.fill(taken, 0);
    late = 0;
  }

  /** Rounding makes the two halves of a covariance differ, and what differs grows: their mean. */
  void even() {
    settle();
    for (int i = 0; i < mean.length; i += TILE) {
      for (int j = 0; j <= i; j += TILE) {
        even(i, j);
      }
    }
  }

  private void even(int fromRow, int fromColumn) {
    for (int i = fromRow; i < Math.min(fromRow + TILE, mean.length); i++) {
      double[] row = covariance[i];
      for (int j = fromColumn; j < Math.min(fromColumn + TILE, i); j++) {
        double both = (row[j] + covariance[j][i]) / 2;
        row[j] = both;
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
