package org.cellherd.pile;

import java.util.Arrays;

/**
 * How strong the weakest group can be at most, whatever the arrangement. Wishes of the builder can
 * only lower what is reachable, so the bound holds with them too.
 *
 * <p>Two arguments, both by counting. <em>Large units waste themselves</em>: leave out the k
 * largest; at least S - k groups hold none of them, and these share at most the (S - k)P largest of
 * the others; the weakest is no better than their mean. k = 0 is the mean of all. <em>Small units
 * must stand somewhere</em>: where no unit can be spared, the k smallest stand in g groups, of
 * which the best companions are the gP - k largest of the others.
 */
final class Bound {

  private Bound() {}

  /**
   * The bound in Ah.
   *
   * @param ah capacities of all units that may be used, at least series times parallel
   */
  static double weakest(double[] ah, int series, int parallel) {
    double[] chosen = largest(ah, series * parallel);
    if (parallel == 1) {
      return chosen[chosen.length - 1];
    }
    if (parallel == 2) {
      return pairs(chosen);
    }
    return Math.min(
        withoutLargest(largest(ah, ah.length), series, parallel),
        withSmallest(chosen, series, parallel));
  }

  /**
   * For pairs the largest with the smallest is best, and so is the bound: of the k smallest one has
   * a companion that is no larger than the k-th largest, for only k - 1 are larger.
   */
  private static double pairs(double[] falling) {
    double least = Double.POSITIVE_INFINITY;
    for (int i = 0; i < falling.length / 2; i++) {
      least = Math.min(least, falling[i] + falling[falling.length - 1 - i]);
    }
    return least;
  }

  private static double withoutLargest(double[] falling, int series, int parallel) {
    double[] sums = sums(falling);
    double best = Double.POSITIVE_INFINITY;
    for (int k = 0; k < series; k++) {
      int groups = series - k;
      int last = Math.min(falling.length, k + groups * parallel);
      best = Math.min(best, (sums[last] - sums[k]) / groups);
    }
    return best;
  }

  private static double withSmallest(double[] falling, int series, int parallel) {
    int n = falling.length;
    double[] sums = sums(falling);
    double best = Double.POSITIVE_INFINITY;
    for (int k = 1; k <= n / 2; k++) {
      double small = sums[n] - sums[n - k];
      double most = 0;
      for (int g = (k + parallel - 1) / parallel; g <= Math.min(k, series); g++) {
        most = Math.max(most, (small + sums[Math.min(n - k, g * parallel - k)]) / g);
      }
      best = Math.min(best, most);
    }
    return best;
  }

  private static double[] sums(double[] values) {
    double[] sums = new double[values.length + 1];
    for (int i = 0; i < values.length; i++) {
      sums[i + 1] = sums[i] + values[i];
    }
    return sums;
  }

  /** The largest so many, falling. */
  private static double[] largest(double[] ah, int count) {
    double[] sorted = ah.clone();
    Arrays.sort(sorted);
    double[] falling = new double[count];
    for (int i = 0; i < count; i++) {
      falling[i] = sorted[sorted.length - 1 - i];
    }
    return falling;
  }
}
