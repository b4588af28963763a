package org.cellherd.analysis.estimate;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import java.util.Arrays;
import java.util.Random;
import org.junit.jupiter.api.Test;

class BeliefTest {
  private static final int SIZE = 37;
  private static final int MOVED = 7;
  private static final int BLOCKS = 12;
  private static final double ROUNDING = 1e-12;
  private static final double EXACTLY = 0;

  /** More than are put off at once. */
  private static final int MOST_OBSERVED = 40;

  private final Random random = new Random(20261129);
  private final Belief belief = new Belief(SIZE);
  private final double[] mean = new double[SIZE];
  private final double[][] covariance = new double[SIZE][SIZE];

  @Test
  void whatIsPutOffComesOutAsIfItHadBeenDoneAtOnce() {
    for (int i = 0; i < SIZE; i++) {
      // Some unknowns have nothing to do with any other.
      covariance[i][i] = i % 5 == 0 ? 0 : 1 + random.nextDouble();
      belief.covariance[i][i] = covariance[i][i];
    }
    for (int block = 0; block < BLOCKS; block++) {
      move();
      int observed = random.nextInt(MOST_OBSERVED);
      for (int n = 0; n < observed; n++) {
        observe();
      }
      belief.settle();
      for (int i = 0; i < SIZE; i++) {
        assertArrayEquals(covariance[i], belief.covariance[i], ROUNDING, "row " + i);
        assertArrayEquals(column(i), belief.covariance[i], EXACTLY, "column " + i);
      }
      assertArrayEquals(mean, belief.mean, ROUNDING);
    }
  }

  private double[] column(int i) {
    return Arrays.stream(belief.covariance).mapToDouble(row -> row[i]).toArray();
  }

  private void move() {
    int[] sources = random.ints(MOVED, SIZE).distinct().limit(4).toArray();
    double[][] shares = new double[sources.length][MOVED];
    for (int s = 0; s < sources.length; s++) {
      for (int k = 0; k < MOVED; k++) {
        shares[s][k] = random.nextGaussian() / 10;
        move(k, sources[s], shares[s][k]);
      }
    }
    belief.move(sources, shares);
  }

  private void move(int i, int source, double share) {
    mean[i] += share * mean[source];
    for (int j = 0; j < SIZE; j++) {
      covariance[i][j] += share * covariance[source][j];
    }
    for (int j = 0; j < SIZE; j++) {
      covariance[j][i] += share * covariance[j][source];
    }
  }

  private void observe() {
    int n = 1 + random.nextInt(9);
    int[] at = random.ints(0, SIZE).distinct().limit(n).toArray();
    double[] weight = random.doubles(n, -1, 1).toArray();
    double[] gain = new double[SIZE];
    for (int k = 0; k < n; k++) {
      for (int i = 0; i < SIZE; i++) {
        gain[i] += covariance[at[k]][i] * weight[k];
      }
    }
    double spread = belief.spread(at, weight, n);
    double surprise = random.nextGaussian();
    belief.update(surprise, spread + 0.1);
    observe(gain, surprise, spread + 0.1);
  }

  /** One after the other, as the filter is written in books. */
  private void observe(double[] gain, double surprise, double variance) {
    for (int i = 0; i < SIZE; i++) {
      if (gain[i] * gain[i] <= 1e-8 * variance * covariance[i][i]) {
        gain[i] = 0;
      }
    }
    for (int i = 0; i < SIZE; i++) {
      double g = gain[i] / variance;
      mean[i] += g * surprise;
      for (int j = 0; j < SIZE; j++) {
        covariance[i][j] -= g * gain[j];
      }
    }
  }
}
