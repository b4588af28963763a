package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;

/**
 * What a bad joint does to its cell: a steady current lifts it above the others from the beginning
 * of a charge on, and as much later. A cell that is ahead climbs.
 */
final class Lifted {
  /** A joint lifts its cell by nearly as much at this share of a current. */
  private static final double LIKE_SHARE = 0.8;

  /** Of the rated charge: no knee is as wide. */
  private static final double MOVED_SHARE = 0.05;

  /** A sense wire in trouble may read so much wrong and not be noticed (common practice), V. */
  private static final double WIRE_V = 0.025;

  /** Three times what cells of one make differ by in hysteresis (from memory), V. */
  private static final double HYSTERESIS_V = 0.006;

  /** Sound cells of one make differ by less than half (common practice, no source). */
  private static final double RATIO = 0.5;

  private Lifted() {}

  /** By how much each cell was above the median one at the least under such a current, V. */
  static double[] least(int cells, List<Block> blocks, double amperes) {
    double[] least = new double[cells];
    Arrays.fill(least, Double.POSITIVE_INFINITY);
    for (Block b : blocks) {
      if (b.current().now() >= LIKE_SHARE * amperes) {
        double middle = Medians.median(b.volts());
        for (int k = 0; k < cells; k++) {
          least[k] = Math.min(least[k], b.volts()[k] - middle);
        }
      }
    }
    return least;
  }

  /**
   * What each cell has beyond the median one, ohm, by the beginning of a charge; 0 unless that is
   * more than all else may lift it by: its own resistance, and where no rest before shows them its
   * wire and its charge. Empty where the charge did not begin with a steady current.
   */
  static Optional<double[]> ohm(List<Block> blocks, PackPlan plan) {
    double[] ohm = new double[plan.series()];
    int from = 0;
    while (from < blocks.size() && isAtRest(blocks.get(from), plan)) {
      from++;
    }
    List<Block> begun = begun(blocks.subList(from, blocks.size()), MOVED_SHARE * plan.ratedAh());
    Block rest = from == 0 ? null : blocks.get(from - 1);
    if (begun.isEmpty() || (rest == null && plan.chemistry() != Chemistry.LFP)) {
      return Optional.empty();
    }
    Block last = begun.get(begun.size() - 1);
    double amperes = last.current().now();
    double[] least = least(ohm.length, begun, amperes);
    double explained = explained(rest, last, plan);
    for (int k = 0; k < ohm.length; k++) {
      double before = above(rest, k);
      double lifted = least[k] - before;
      // A cell that was empty at rest comes up to the others by its charge.
      boolean isLifted =
          lifted > explained
              && Math.abs(before) < ErrorBudget.PLATEAU_V
              && most(begun, k) - least[k] < ErrorBudget.PLATEAU_V;
      ohm[k] = isLifted ? lifted / amperes : 0;
    }
    return Optional.of(ohm);
  }

  /** By how much a cell is above the median one, V; 0 where no block shows it. */
  private static double above(@Nullable Block b, int cell) {
    return b == null ? 0 : b.volts()[cell] - Medians.median(b.volts());
  }

  private static double most(List<Block> blocks, int cell) {
    return blocks.stream().mapToDouble(b -> above(b, cell)).max().orElseThrow();
  }

  private static boolean isAtRest(Block b, PackPlan plan) {
    return Math.abs(b.current().now()) < Kept.REST_SHARE * plan.ratedAh();
  }

  /** By how much a sound cell may be lifted, V. */
  private static double explained(@Nullable Block rest, Block last, PackPlan plan) {
    if (rest != null) {
      double all = Medians.median(last.volts()) - Medians.median(rest.volts());
      double noise = 3 * rest.noise() / Math.sqrt(rest.readings());
      return Math.hypot(noise, Math.hypot(HYSTERESIS_V, RATIO * all));
    }
    return WIRE_V + ErrorBudget.PLATEAU_V + RATIO * Fit.drop(last, plan);
  }

  /** The blocks in which a steady current moved so much first, Ah; none where it did not. */
  private static List<Block> begun(List<Block> blocks, double ah) {
    for (int n = 0; n < blocks.size(); n++) {
      double first = blocks.get(0).current().now();
      double now = blocks.get(n).current().now();
      if (now < LIKE_SHARE * first || first < LIKE_SHARE * now || first <= 0) {
        return List.of();
      }
      if (blocks.get(n).ah() - blocks.get(0).ah() >= ah) {
        return blocks.subList(0, n + 1);
      }
    }
    return List.of();
  }
}
