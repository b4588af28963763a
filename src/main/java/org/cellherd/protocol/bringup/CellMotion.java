package org.cellherd.protocol.bringup;

import java.util.Arrays;
import java.util.List;

/** How numbers move together, as a load moves all cells of a pack: ties from -1 to 1. */
final class CellMotion {

  /** The tie of chance has a deviation of 1/8 over so many steps: a half is four of them. */
  private static final double FOLLOWS = 0.5;

  private static final int FEWEST_STEPS = 64;

  /** Ties of 0 to 1 that differ by this much do so by more than chance. */
  static final double SURE_BETTER = 0.2;

  /** What ties leave unexplained differs twofold over some 60 steps once in 200 (F test). */
  private static final double SURE_RATIO = 2;

  private CellMotion() {}

  /** True when a tie beats another by more than chance. */
  static boolean isSurer(double tie, double other) {
    double left = 1 - tie * tie;
    return tie - other > SURE_BETTER
        || (tie > 0 && other > 0 && left * SURE_RATIO < 1 - other * other);
  }

  /** True when one number more leaves no tie where there was one. */
  static boolean isIdleBeside(double tie, double without) {
    return tie < FOLLOWS && without >= FOLLOWS && without - tie > SURE_BETTER;
  }

  /**
   * How well the steps of each column follow those of all others, in the worst. Read across the
   * bounds of bytes, one end of a row holds something else, which does not follow.
   */
  static double together(double[][] columns) {
    double[][] calm =
        Arrays.stream(columns).map(Stretch::withoutLoneLeaps).toArray(double[][]::new);
    int n = calm.length == 0 ? 0 : calm[0].length;
    double[] sums = new double[n];
    for (double[] column : calm) {
      for (int i = 0; i < n; i++) {
        sums[i] += column[i];
      }
    }
    double worst = 1;
    for (double[] column : calm) {
      double xx = 0;
      double xy = 0;
      double yy = 0;
      for (int i = 1; i < n; i++) {
        double x = column[i] - column[i - 1];
        double y = (sums[i] - sums[i - 1] - x) / (calm.length - 1);
        xx += x * x;
        xy += x * y;
        yy += y * y;
      }
      worst = Math.min(worst, xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : 0);
    }
    return worst;
  }

  /** The tie of pairs of steps; 0 where one side stands still. */
  static double tie(List<double[]> steps) {
    double xx = steps.stream().mapToDouble(s -> s[0] * s[0]).sum();
    double xy = steps.stream().mapToDouble(s -> s[0] * s[1]).sum();
    double yy = steps.stream().mapToDouble(s -> s[1] * s[1]).sum();
    return xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : 0;
  }

  /** True when one side of many steps follows the other by half at least. */
  static boolean follows(List<double[]> steps) {
    return steps.size() >= FEWEST_STEPS && tie(steps) >= FOLLOWS;
  }
}
