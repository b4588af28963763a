package org.cellherd.analysis.estimate;

import java.util.Arrays;

/**
 * What bleeding does to the voltages of a row of cells: a cell that is bled reads low by some drop
 * p, each neighbour high by p / 2, since they share a sense lead. With b the cells that began (+1)
 * or ended (-1), the voltages jump by -p M b, where M has 1 on its diagonal and -1/2 beside it.
 *
 * <p>Which cells changed is the row b of -1, 0 and 1 that leaves least of the jumps, found cell by
 * cell along the row (Viterbi's algorithm): turns of any pattern come out whole, and noise is not
 * blown up as by solving M.
 */
final class TapDrop {
  private static final int STATES = 9;

  /** A change must explain more than noise of so much of the drop would. */
  private static final double CHANGE_SHARE = 0.25;

  /** Of the greatest jump, what the drop may be: alone, one neighbour against it, or both. */
  private static final double[] SHARES = {1, 1 / 1.5, 0.5};

  private final int cells;
  private final double[] costs = new double[STATES];
  private final double[] nextCosts = new double[STATES];
  private final byte[][] from;
  private final int[] signs;
  private final int[] best;
  private double bestCost;
  private double bestDrop;

  TapDrop(int cells) {
    this.cells = cells;
    from = new byte[cells + 1][STATES];
    signs = new int[cells];
    best = new int[cells];
  }

  /**
   * Cells that began or ended, from jumps in 0.1 mV.
   *
   * @param drop what one cell drops by, 0.1 mV, or 0 while that is not known
   * @param least no smaller drop is believed, 0.1 mV
   * @return 1 began, -1 ended, 0 neither; valid until the next call
   */
  int[] solve(int[] jumps, double drop, double least) {
    Arrays.fill(best, 0);
    bestDrop = 0;
    bestCost = Arrays.stream(jumps).mapToDouble(j -> (double) j * j).sum();
    if (drop > 0) {
      attempt(jumps, Math.max(least, drop));
      return best;
    }
    int most = Arrays.stream(jumps).map(Math::abs).max().orElse(0);
    for (double share : SHARES) {
      attempt(jumps, Math.max(least, share * most));
    }
    return best;
  }

  private void attempt(int[] jumps, double drop) {
    double cost = walk(jumps, drop);
    if (cost < bestCost) {
      bestCost = cost;
      bestDrop = drop;
      System.arraycopy(signs, 0, best, 0, cells);
    }
  }

  /** The cheapest row of signs; a state is the sign of a cell and of the one before it. */
  private double walk(int[] jumps, double drop) {
    Arrays.fill(costs, Double.POSITIVE_INFINITY);
    double change = CHANGE_SHARE * drop * CHANGE_SHARE * drop;
    for (int sign = -1; sign <= 1; sign++) {
      costs[state(0, sign)] = change * Math.abs(sign);
    }
    for (int i = 0; i < cells; i++) {
      step(i, jumps[i], drop, change);
    }
    return trace();
  }

  private void step(int i, int jump, double drop, double change) {
    Arrays.fill(nextCosts, Double.POSITIVE_INFINITY);
    for (int state = 0; state < STATES; state++) {
      int before = state / 3 - 1;
      int own = state % 3 - 1;
      for (int after = -1; after <= 1; after++) {
        if (i + 1 == cells && after != 0) {
          continue;
        }
        double left = jump + drop * (own - (before + after) / 2.0);
        double cost = costs[state] + left * left + change * Math.abs(after);
        int next = state(own, after);
        if (cost < nextCosts[next]) {
          nextCosts[next] = cost;
          from[i + 1][next] = (byte) state;
        }
      }
    }
    System.arraycopy(nextCosts, 0, costs, 0, STATES);
  }

  private static int state(int before, int own) {
    return (before + 1) * 3 + own + 1;
  }

  private double trace() {
    int state = state(-1, 0);
    for (int own = 0; own <= 1; own++) {
      state = costs[state(own, 0)] < costs[state] ? state(own, 0) : state;
    }
    double cost = costs[state];
    for (int i = cells - 1; i >= 0; i--) {
      signs[i] = state / 3 - 1;
      state = from[i + 1][state];
    }
    return cost;
  }

  /** Common movement of all cells that the changes found last leave, 0.1 mV. */
  double leftLift(int[] jumps) {
    double sum = 0;
    for (int i = 0; i < cells; i++) {
      double beside = (i > 0 ? best[i - 1] : 0) + (i + 1 < cells ? best[i + 1] : 0);
      sum += jumps[i] + bestDrop * (best[i] - beside / 2);
    }
    return sum / cells;
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
