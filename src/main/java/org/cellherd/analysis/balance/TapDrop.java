package org.cellherd.analysis.balance;

import java.util.Arrays;

/**
 * What bleeding does to the voltages of a row of cells: a cell that is bled reads low by some drop
 * p, each neighbour high by p / 2, since they share a sense lead. With b the cells that began (+1)
 * or ended (-1), the voltages jump by -p M b, where M has 1 on its diagonal and -1/2 beside it.
 */
final class TapDrop {
  private static final int ROUNDS = 10;
  private static final double STEP = 0.6;
  private static final double CLEAR = 0.5;

  private final double[] found;
  private final double[] rest;

  TapDrop(int cells) {
    found = new double[cells];
    rest = new double[cells];
  }

  /**
   * Cells that began or ended, from jumps in 0.1 mV. Solved by a few rounds of descent: patterns of
   * single and of alternating cells come out, while noise that is smooth along the row, which M
   * hides, is not blown up.
   *
   * @param least no cell whose drop is smaller is believed, 0.1 mV
   * @return one drop a cell, 0.1 mV: positive began, negative ended, 0 neither; valid until the
   *     next call
   */
  double[] solve(int[] jumps, double least) {
    Arrays.fill(found, 0);
    for (int round = 0; round < ROUNDS; round++) {
      double most = 0;
      for (int i = 0; i < found.length; i++) {
        rest[i] = -jumps[i] - spreadOver(i);
      }
      for (int i = 0; i < found.length; i++) {
        found[i] += STEP * rest[i];
        most = Math.max(most, Math.abs(found[i]));
      }
      if (round == ROUNDS - 1) {
        clear(Math.max(least, CLEAR * most));
      }
    }
    return found;
  }

  private void clear(double least) {
    for (int i = 0; i < found.length; i++) {
      found[i] = Math.abs(found[i]) < least ? 0 : found[i];
    }
  }

  private double spreadOver(int i) {
    double beside = (i > 0 ? found[i - 1] : 0) + (i + 1 < found.length ? found[i + 1] : 0);
    return found[i] - beside / 2;
  }

  /**
   * The common drop that explains jumps best by least squares when it is known which cells changed;
   * NaN when none did.
   *
   * @param began bit 0 = cell 1 began to be bled
   * @param ended bit 0 = cell 1 is no longer bled
   */
  double common(int[] jumps, long began, long ended) {
    double up = 0;
    double down = 0;
    for (int i = 0; i < jumps.length; i++) {
      double m = sign(began, ended, i);
      m -= (sign(began, ended, i - 1) + sign(began, ended, i + 1)) / 2.0;
      up -= m * jumps[i];
      down += m * m;
    }
    return down == 0 ? Double.NaN : up / down;
  }

  private static int sign(long began, long ended, int i) {
    if (i < 0 || i > 63) {
      return 0;
    }
    return (began >> i & 1) != 0 ? 1 : (ended >> i & 1) != 0 ? -1 : 0;
  }
}
