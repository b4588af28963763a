package org.cellherd.analysis.balance;

import java.util.List;
import java.util.stream.IntStream;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;

/**
 * Two neighbours that stand off all others by as much, one each way: so they do by their charge, or
 * by the sense wire between them. On a plateau the two come apart; along a slope they do not, and
 * then no lead may rest on either alone.
 */
final class MirroredCells {
  /** Fewer are no herd to stand off from. */
  private static final int LEAST_CELLS = 4;

  private final List<Lead> leads;
  private final double[] mid;
  private final double[] less;
  private final double[] more;

  private MirroredCells(List<Lead> leads) {
    this.leads = leads;
    mid = leads.stream().mapToDouble(l -> l.ah().mid()).toArray();
    less = new double[mid.length];
    more = new double[mid.length];
  }

  /**
   * The same leads, as wide as a wire between two such cells makes them.
   *
   * @param leads of all cells in their order; others are returned as they are
   * @param runs what a sense wire may be off by
   */
  static List<Lead> allow(List<Lead> leads, FlatRuns runs) {
    boolean isInOrder =
        IntStream.range(0, leads.size()).allMatch(i -> leads.get(i).cell() == i + 1);
    if (leads.size() < LEAST_CELLS || !isInOrder) {
      return leads;
    }
    MirroredCells cells = new MirroredCells(leads);
    for (int i = 0; i + 1 < leads.size(); i++) {
      cells.allow(i, Math.max(runs.mostAh(i), runs.mostAh(i + 1)));
    }
    return cells.wider();
  }

  private void allow(int first, double mostAh) {
    double others = medianWithout(first);
    double a = mid[first] - others;
    double b = mid[first + 1] - others;
    double off = Math.max(Math.abs(a), Math.abs(b));
    if (a * b >= 0 || Math.abs(a + b) > Cause.MIRROR_SHARE * off) {
      return;
    }
    double wire = Math.min(off, mostAh);
    int upper = a > 0 ? first : first + 1;
    int lower = a > 0 ? first + 1 : first;
    double nearer = Math.min(wire, aheadOf(lower));
    less[upper] += wire;
    more[lower] += wire - nearer;
    for (int k = 0; k < mid.length; k++) {
      less[k] += k == lower ? 0 : nearer;
    }
  }

  /** By how much the next one is ahead of a cell that is the last; 0 for one that is not. */
  private double aheadOf(int cell) {
    double next = Double.POSITIVE_INFINITY;
    for (int k = 0; k < mid.length; k++) {
      next = k == cell ? next : Math.min(next, mid[k]);
    }
    return Math.max(0, next - mid[cell]);
  }

  private double medianWithout(int first) {
    double[] sorted =
        IntStream.range(0, mid.length)
            .filter(k -> k != first && k != first + 1)
            .mapToDouble(k -> mid[k])
            .sorted()
            .toArray();
    int n = sorted.length;
    return (sorted[(n - 1) / 2] + sorted[n / 2]) / 2;
  }

  private List<Lead> wider() {
    return IntStream.range(0, mid.length).mapToObj(k -> new Lead(k + 1, wider(k))).toList();
  }

  private Interval wider(int k) {
    Interval ah = leads.get(k).ah();
    return new Interval(
        Math.min(ah.low(), Math.max(0, ah.mid() - Math.hypot(ah.mid() - ah.low(), less[k]))),
        ah.mid(),
        ah.mid() + Math.hypot(ah.high() - ah.mid(), more[k]));
  }
}
