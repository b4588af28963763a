package org.cellherd.analysis.trend;

import java.util.Arrays;

/**
 * Mann and Kendall's test for a steady rise or fall, whatever its shape.
 *
 * @param s pairs that rise minus pairs that fall
 * @param variance of s where there is no trend, ties counted
 * @param z s in standard deviations, corrected by one for continuity
 * @param oneSided probability of an s at least as far from zero on the same side by chance: exact
 *     up to ten values without ties, else by the normal distribution
 * @param count number of values
 */
public record MannKendall(int s, double variance, double z, double oneSided, int count) {

  private static final int EXACT_UP_TO = 10;

  /** Tests values in the order of time. */
  public static MannKendall of(double... values) {
    int s = score(values);
    double variance = variance(values);
    double z = s == 0 || variance <= 0 ? 0 : (s - Integer.signum(s)) / Math.sqrt(variance);
    boolean exact = values.length <= EXACT_UP_TO && !hasTies(values);
    double p = exact ? exactTail(values.length, Math.abs(s)) : Normal.upperTail(Math.abs(z));
    return new MannKendall(s, variance, z, p, values.length);
  }

  /** True when a trend of either sign is surer than this, such as 0.99. */
  public boolean isTrend(double confidence) {
    return 2 * oneSided <= 1 - confidence;
  }

  /**
   * Exact P(S &ge; s) of n values without ties where every order is equally likely.
   *
   * @param n number of values, 0 to 20
   */
  public static double exactTail(int n, int s) {
    long[] ways = {1};
    for (int size = 2; size <= n; size++) {
      long[] next = new long[ways.length + size - 1];
      for (int falls = 0; falls < ways.length; falls++) {
        for (int more = 0; more < size; more++) {
          next[falls + more] += ways[falls];
        }
      }
      ways = next;
    }
    int pairs = n * (n - 1) / 2;
    long hits = 0;
    for (int falls = 0; falls < ways.length && pairs - 2 * falls >= s; falls++) {
      hits += ways[falls];
    }
    return (double) hits / Arrays.stream(ways).sum();
  }

  private static int score(double[] values) {
    int s = 0;
    for (int j = 1; j < values.length; j++) {
      for (int i = 0; i < j; i++) {
        s += (int) Math.signum(values[j] - values[i]);
      }
    }
    return s;
  }

  private static double variance(double[] values) {
    return (weight(values.length) - tieWeight(values)) / 18.0;
  }

  /** Sum of t(t-1)(2t+5) over groups of t equal values. */
  static double tieWeight(double[] values) {
    double[] sorted = values.clone();
    Arrays.sort(sorted);
    double sum = 0;
    for (int start = 0; start < sorted.length; ) {
      int end = start;
      while (end < sorted.length && sorted[end] == sorted[start]) {
        end++;
      }
      sum += weight(end - start);
      start = end;
    }
    return sum;
  }

  private static boolean hasTies(double[] values) {
    return tieWeight(values) > 0;
  }

  static double weight(int n) {
    return (double) n * (n - 1) * (2 * n + 5);
  }
}
