package org.cellherd.pile;

import java.util.SplittableRandom;

/**
 * Betters an arrangement by exchanging two units between groups, or one with a spare, until no
 * exchange helps; then shakes it and begins again. The same input gives the same result.
 */
final class UnitExchange {

  /** Exchanges looked at in all, some seconds of a small computer. */
  private static final long BUDGET = 30_000_000;

  /** Shakes in vain before it gives up. */
  private static final int PATIENCE = 300;

  private static final int KICKS = 3;

  private final SplittableRandom random = new SplittableRandom(1);
  private final double target;
  private long looked;

  /**
   * A search.
   *
   * @param target capacity of the weakest group beyond which more is of no use, Ah
   */
  UnitExchange(double target) {
    this.target = target;
  }

  /** The best arrangement found: weakest group strongest, then groups nearest to each other. */
  Grouping search(Grouping first) {
    Grouping best = first.copy();
    settle(best);
    Grouping now = best.copy();
    int vain = 0;
    while (vain < PATIENCE && looked < BUDGET && best.weakest() < target * (1 - 1e-9)) {
      kick(now);
      settle(now);
      boolean isGain = isBetter(now, best);
      vain = isGain ? 0 : vain + 1;
      if (isGain) {
        best = now.copy();
      } else {
        now = best.copy();
      }
    }
    return best;
  }

  private static boolean isBetter(Grouping a, Grouping b) {
    double gain = a.weakest() - b.weakest();
    return gain > 1e-12 || (gain > -1e-12 && a.range() < b.range() - 1e-12);
  }

  private void kick(Grouping layout) {
    for (int k = 0; k < KICKS && layout.groups() > 1; k++) {
      int a = random.nextInt(layout.groups());
      int b = random.nextInt(layout.groups());
      int i = random.nextInt(layout.parallel());
      int j = random.nextInt(layout.parallel());
      if (a != b && layout.maySwap(a, i, b, j)) {
        layout.swap(a, i, b, j);
      }
    }
  }

  private void settle(Grouping layout) {
    boolean moved = true;
    while (moved && looked < BUDGET) {
      moved = false;
      for (int a = 0; a < layout.groups(); a++) {
        moved |= layout.sums[a] < target && improve(layout, a);
      }
    }
  }

  /** What a group lacks, squared: the weakest weighs most. */
  private double lack(double sum) {
    double less = Math.max(0, target - sum);
    return less * less;
  }

  private boolean improve(Grouping layout, int a) {
    double best = -1e-12;
    int[] move = null;
    for (int i = 0; i < layout.parallel(); i++) {
      double own = layout.ah[layout.members[a][i]];
      for (int b = 0; b < layout.groups(); b++) {
        for (int j = 0; b != a && j < layout.parallel(); j++) {
          double gain = layout.ah[layout.members[b][j]] - own;
          double change = gain <= 0 ? 0 : change(layout.sums[a], layout.sums[b], gain);
          if (change < best && layout.maySwap(a, i, b, j)) {
            best = change;
            move = new int[] {i, b, j};
          }
        }
      }
      for (int s = 0; s < layout.spares.size(); s++) {
        double change =
            lack(layout.sums[a] + layout.ah[layout.spares.get(s)] - own) - lack(layout.sums[a]);
        if (change < best && layout.maySwapSpare(a, i, s)) {
          best = change;
          move = new int[] {i, -1, s};
        }
      }
    }
    looked += (long) layout.parallel() * layout.ah.length;
    if (move == null) {
      return false;
    }
    if (move[1] < 0) {
      layout.swapSpare(a, move[0], move[2]);
    } else {
      layout.swap(a, move[0], move[1], move[2]);
    }
    return true;
  }

  private double change(double sumA, double sumB, double gain) {
    return lack(sumA + gain) - lack(sumA) + lack(sumB - gain) - lack(sumB);
  }
}
