package org.cellherd.analysis.estimate;

import java.util.function.ToDoubleBiFunction;
import org.cellherd.analysis.state.State;

/**
 * Where one charge left the cells, for the next to begin with. What the current counts moves all
 * alike; what leaks unseen makes it worth less by the hour.
 */
final class Carried {
  private final int cells;
  private final double ratedAh;
  private final double[] places;
  private final double[] spread;
  private final double[] seenHours;
  private boolean isKnown;
  private long known;

  Carried(int cells, double ratedAh) {
    this.cells = cells;
    this.ratedAh = ratedAh;
    places = new double[cells];
    spread = new double[cells * cells];
    seenHours = new double[cells];
  }

  boolean isKnown() {
    return isKnown;
  }

  /** Bit 0 = cell 1 was in its knee when it was seen last. */
  long known() {
    return known;
  }

  /** Against the mean of the cells that were in their knee, Ah. */
  double place(int cell) {
    return places[cell];
  }

  /** Covariance of two places at a later hour, Ah squared. */
  double spread(int a, int b, double atHours) {
    double drift = a == b ? ErrorBudget.leaked(atHours - seenHours[a]) : 0;
    return spread[a * cells + b] + drift;
  }

  /**
   * What a steady leak adds, squared, to what a charge's filter knows of a cell, which takes leaks
   * for changing ones: since the cell was last in its knee.
   */
  double unseen(Pass pass, int cell, double atHours) {
    double shown = pass.knees().shownHours(cell);
    if (!Double.isNaN(shown)) {
      return ErrorBudget.leakedSteadily(atHours - shown);
    }
    double seen = seenHours[cell];
    return ErrorBudget.leakedSteadily(atHours - seen)
        - ErrorBudget.leakedSteadily(Math.max(0, pass.fromHours() - seen));
  }

  /**
   * By what the variances grow of a charge that began with what another had left, 1 to 2: what
   * their curve, wires and resistances are off by is the same in both, so that two errors make one
   * another no less. With a share K of the one and 1 - K of the other their sizes add up to sqrt(K)
   * + sqrt(1 - K) times what those of independent ones would.
   */
  double alike(Pass pass) {
    if (!isKnown) {
      return 1;
    }
    long seen = pass.knees().standing();
    double before = apart(seen, (a, b) -> spread(a, b, pass.fromHours()));
    double share = Math.min(1, apart(seen, pass::spread) / Math.max(1e-12, before));
    double grown = Math.sqrt(share) + Math.sqrt(1 - share);
    return grown * grown;
  }

  /** Mean variance of some cells against their mean, Ah squared. */
  private double apart(long some, ToDoubleBiFunction<Integer, Integer> spread) {
    int n = Math.max(1, Long.bitCount(some));
    double sum = 0;
    for (int a = 0; a < cells; a++) {
      for (int b = 0; b < cells; b++) {
        if (KneeLooks.isIn(some, a) && KneeLooks.isIn(some, b)) {
          sum += spread.applyAsDouble(a, b) * ((a == b ? 1 : 0) - 1.0 / n) / n;
        }
      }
    }
    return sum;
  }

  /**
   * Takes what a charge has shown; of a cell that stayed on its plateau no more than was known, and
   * nothing of one that fell.
   */
  void take(Pass pass, double atHours) {
    long fallen = pass.knees().fallen();
    long seen = pass.knees().standing();
    double mean = 0;
    for (int k = 0; k < cells; k++) {
      mean +=
          KneeLooks.isIn(seen, k) ? pass.belief().mean[k] / Math.max(1, Long.bitCount(seen)) : 0;
    }
    double start = ErrorBudget.START_OWN * ratedAh;
    double[] wider = wider(pass, start);
    for (int k = 0; k < cells; k++) {
      double place = pass.belief().mean[k] - mean;
      double own = wider[k] * wider[k] * pass.spread(k, k);
      double limit = isKnown ? places[k] : 0;
      boolean isKept = isKnown && !KneeLooks.isIn(fallen, k);
      double kept = isKept ? spread[k * cells + k] : start * start;
      for (int j = 0; j < cells; j++) {
        boolean isSeen = KneeLooks.isIn(seen, k) && KneeLooks.isIn(seen, j);
        spread[k * cells + j] = isSeen ? wider[k] * wider[j] * pass.spread(k, j) : 0;
      }
      // Of a cell that was not seen its leak goes on from where it was: not each charge anew.
      spread[k * cells + k] = KneeLooks.isIn(seen, k) ? own : Math.max(own, kept);
      seenHours[k] =
          KneeLooks.isIn(seen, k) ? pass.knees().shownHours(k) : isKnown ? seenHours[k] : atHours;
      places[k] = KneeLooks.isIn(seen, k) ? place : Math.min(limit, place);
    }
    isKnown = true;
    known = (known | seen) & ~fallen;
  }

  /** By what each error grows: as the fit is worse than usual, but to no more than at first. */
  private double[] wider(Pass pass, double start) {
    double[] wider = new double[cells];
    double grown = pass.widening() * alike(pass);
    for (int k = 0; k < cells; k++) {
      double most = start * start / pass.belief().covariance[k][k];
      wider[k] = Math.sqrt(Math.max(1, Math.min(grown, most)));
    }
    return wider;
  }

  void state(State io) {
    io.each(places);
    io.each(spread);
    io.each(seenHours);
    isKnown = io.flag(isKnown);
    known = io.number(known);
  }
}
