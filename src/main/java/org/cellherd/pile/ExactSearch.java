package org.cellherd.pile;

import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;

/**
 * Tries every arrangement that could beat the best one known, largest units first. Groups without
 * units are alike, so only the first of them is tried.
 */
final class ExactSearch {

  /** Places looked at before it gives up, a second or two of a small computer. */
  private static final long MOST_STEPS = 10_000_000;

  private final Grouping now;
  private final List<Integer> order;
  private final double[] sumsOfOrder;
  private final int mostSpares;
  private Grouping best;
  private double bestWeakest;
  private long steps;

  private ExactSearch(Grouping known, List<Matching.Candidate> units) {
    this.best = known;
    this.bestWeakest = known.weakest();
    this.now = new Grouping(units, known.groups(), known.parallel(), known.wishes);
    this.mostSpares = known.spares.size();
    this.order =
        IntStream.range(0, units.size())
            .boxed()
            .sorted(Comparator.comparingDouble((Integer u) -> -now.ah[u]))
            .toList();
    this.sumsOfOrder = new double[order.size() + 1];
    for (int i = 0; i < order.size(); i++) {
      sumsOfOrder[i + 1] = sumsOfOrder[i] + now.ah[order.get(i)];
    }
  }

  /**
   * What came out.
   *
   * @param layout the best arrangement
   * @param isProven true when no other is better
   */
  record Result(Grouping layout, boolean isProven) {}

  /** The best arrangement of all, or the best met before it gave up. */
  static Result of(Grouping known, List<Matching.Candidate> units) {
    ExactSearch search = new ExactSearch(known, units);
    search.place(0, 0);
    return new Result(search.best, search.steps <= MOST_STEPS);
  }

  private void place(int next, int spared) {
    if (++steps > MOST_STEPS || !canBeat(next)) {
      return;
    }
    if (next == order.size()) {
      accept();
      return;
    }
    int unit = order.get(next);
    boolean emptySeen = false;
    for (int g = 0; g < now.groups(); g++) {
      boolean isEmpty = now.counts[g] == 0;
      if (now.counts[g] < now.parallel()
          && !(isEmpty && emptySeen)
          && now.wishes.fits(unit, now.members[g], now.counts[g], -1)) {
        now.add(g, unit);
        place(next + 1, spared);
        now.counts[g]--;
        now.sums[g] -= now.ah[unit];
      }
      emptySeen |= isEmpty;
    }
    if (spared < mostSpares && !now.wishes.isBound(unit)) {
      now.spares.add(unit);
      place(next + 1, spared + 1);
      now.spares.remove(now.spares.size() - 1);
    }
  }

  private void accept() {
    if (now.weakest() > bestWeakest + 1e-12 && keepsTogether()) {
      best = now.copy();
      bestWeakest = now.weakest();
    }
  }

  private boolean keepsTogether() {
    int[] groupOf = new int[order.size()];
    for (int g = 0; g < now.groups(); g++) {
      for (int unit : now.members[g]) {
        groupOf[unit] = g;
      }
    }
    return now.wishes.blocks().stream()
        .allMatch(b -> IntStream.of(b).allMatch(u -> groupOf[u] == groupOf[b[0]]));
  }

  /** Each group with the largest that are left, and all groups with what is left, can beat it. */
  private boolean canBeat(int next) {
    double have = 0;
    int places = 0;
    for (int g = 0; g < now.groups(); g++) {
      int free = now.parallel() - now.counts[g];
      if (now.sums[g] + best(next, free) <= bestWeakest + 1e-12) {
        return false;
      }
      have += now.sums[g];
      places += free;
    }
    return have + best(next, places) > now.groups() * (bestWeakest + 1e-12);
  }

  private double best(int next, int count) {
    int end = next + count;
    return end > order.size() ? Double.NEGATIVE_INFINITY : sumsOfOrder[end] - sumsOfOrder[next];
  }
}
