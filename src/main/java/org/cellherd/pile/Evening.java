package org.cellherd.pile;

/**
 * Evens a good arrangement without weakening it: first the capacities of the groups, then, where
 * resistances are known, their conductances. A gain in evenness may cost a part in two thousand of
 * the weakest group, far below what any tester resolves.
 */
final class Evening {
  private static final double GIVE = 0.0005;
  private static final int PASSES = 50;

  private final Grouping layout;
  private final double[] conductances;
  private final double meanAh;
  private double floor;
  private double mostSpread;

  private Evening(Grouping layout) {
    this.layout = layout;
    this.conductances = new double[layout.groups()];
    double total = 0;
    for (int g = 0; g < layout.groups(); g++) {
      conductances[g] = layout.conductance(g);
      total += layout.sums[g];
    }
    this.meanAh = total / layout.groups();
    this.floor = layout.weakest() - 1e-12;
    this.mostSpread = Double.POSITIVE_INFINITY;
  }

  /** Evens the arrangement in place. */
  static void of(Grouping layout, boolean hasResistances) {
    Evening evening = new Evening(layout);
    evening.passes(false);
    if (hasResistances) {
      evening.floor = layout.weakest() * (1 - GIVE);
      evening.mostSpread = layout.range() + GIVE * layout.weakest();
      evening.passes(true);
    }
  }

  private void passes(boolean byConductance) {
    for (int pass = 0; pass < PASSES; pass++) {
      boolean moved = false;
      for (int a = 0; a < layout.groups(); a++) {
        for (int b = a + 1; b < layout.groups(); b++) {
          moved |= between(a, b, byConductance);
        }
      }
      if (!moved) {
        return;
      }
    }
  }

  private boolean between(int a, int b, boolean byConductance) {
    boolean moved = false;
    for (int i = 0; i < layout.parallel(); i++) {
      for (int j = 0; j < layout.parallel(); j++) {
        if (isWorth(a, i, b, j, byConductance) && layout.maySwap(a, i, b, j)) {
          double more = conductance(b, j) - conductance(a, i);
          conductances[a] += more;
          conductances[b] -= more;
          layout.swap(a, i, b, j);
          moved = true;
        }
      }
    }
    return moved;
  }

  private boolean isWorth(int a, int i, int b, int j, boolean byConductance) {
    double gain = layout.ah[layout.members[b][j]] - layout.ah[layout.members[a][i]];
    double sumA = layout.sums[a] + gain;
    double sumB = layout.sums[b] - gain;
    if (Math.min(sumA, sumB) < floor) {
      return false;
    }
    if (!byConductance) {
      return Math.abs(sumA - sumB) < Math.abs(layout.sums[a] - layout.sums[b]) - 1e-12;
    }
    double more = conductance(b, j) - conductance(a, i);
    double before = Math.abs(conductances[a] - conductances[b]);
    double after = Math.abs(conductances[a] - conductances[b] + 2 * more);
    return after < before - 1e-15 && Math.max(sumA, sumB) - meanAh <= mostSpread;
  }

  private double conductance(int group, int place) {
    return layout.conductance[layout.members[group][place]];
  }
}
