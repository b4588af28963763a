package org.cellherd.pile;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.stream.IntStream;

/**
 * A first arrangement: what must stay together first, then the largest units, each into the weakest
 * group that has a place for it. The smallest units are spared.
 */
final class FirstLayout {
  private static final int TRIES = 200;

  private FirstLayout() {}

  /** An arrangement that meets all wishes; empty when none was found. */
  static Optional<Grouping> of(
      List<Matching.Candidate> units, int series, int parallel, Wishes wishes) {
    SplittableRandom random = new SplittableRandom(1);
    for (int attempt = 0; attempt < TRIES; attempt++) {
      Grouping layout = new Grouping(units, series, parallel, wishes);
      double noise = attempt == 0 ? 0 : 0.02 * attempt;
      if (fill(layout, random, noise)) {
        return Optional.of(layout);
      }
    }
    return Optional.empty();
  }

  private static boolean fill(Grouping layout, SplittableRandom random, double noise) {
    List<int[]> blocks =
        layout.wishes.blocks().stream()
            .sorted(Comparator.comparingDouble((int[] b) -> -sum(layout, b)))
            .toList();
    for (int[] block : blocks) {
      if (!place(layout, block)) {
        return false;
      }
    }
    double[] keys =
        IntStream.range(0, layout.ah.length)
            .mapToDouble(u -> layout.ah[u] * (1 + noise * (random.nextDouble() - 0.5)))
            .toArray();
    List<Integer> order =
        IntStream.range(0, layout.ah.length)
            .filter(u -> !layout.wishes.isBound(u))
            .boxed()
            .sorted(Comparator.comparingDouble((Integer u) -> -keys[u]))
            .toList();
    for (int unit : order) {
      if (!place(layout, new int[] {unit})) {
        layout.spares.add(unit);
      }
    }
    return IntStream.of(layout.counts).allMatch(c -> c == layout.parallel());
  }

  private static double sum(Grouping layout, int[] block) {
    return IntStream.of(block).mapToDouble(u -> layout.ah[u]).sum();
  }

  private static boolean place(Grouping layout, int[] block) {
    int best = -1;
    for (int g = 0; g < layout.groups(); g++) {
      int group = g;
      boolean fits =
          layout.counts[g] + block.length <= layout.parallel()
              && IntStream.of(block)
                  .allMatch(
                      u -> layout.wishes.fits(u, layout.members[group], layout.counts[group], -1));
      if (fits && (best < 0 || layout.sums[g] < layout.sums[best])) {
        best = g;
      }
    }
    for (int i = 0; best >= 0 && i < block.length; i++) {
      layout.add(best, block[i]);
    }
    return best >= 0;
  }

  /** Largest with smallest: the best there is for pairs without wishes. */
  static Grouping folded(List<Matching.Candidate> units, int series, Wishes wishes) {
    Grouping layout = new Grouping(units, series, 2, wishes);
    List<Integer> order =
        IntStream.range(0, units.size())
            .boxed()
            .sorted(Comparator.comparingDouble((Integer u) -> -layout.ah[u]))
            .toList();
    for (int g = 0; g < series; g++) {
      layout.add(g, order.get(g));
      layout.add(g, order.get(2 * series - 1 - g));
    }
    layout.spares.addAll(order.subList(2 * series, order.size()));
    return layout;
  }
}
