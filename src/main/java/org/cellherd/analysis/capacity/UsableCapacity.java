package org.cellherd.analysis.capacity;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Facts;

/**
 * What the cells that are full first and empty first cost the string: by how they stood at the full
 * charge before a test and at its end.
 */
final class UsableCapacity {
  private UsableCapacity() {}

  /** The string at the end of a discharge; empty when the full charge before showed no leads. */
  static Optional<SeriesString> string(Discharge d, LastTop top, Interval ah) {
    List<Interval> leads = top.leads();
    if (leads.size() < 2) {
      return Optional.empty();
    }
    int first = 0;
    for (int i = 1; i < leads.size(); i++) {
      first = leads.get(i).mid() > leads.get(first).mid() ? i : first;
    }
    List<Interval> toFull = new ArrayList<>();
    for (int i = 0; i < leads.size(); i++) {
      toFull.add(
          i == first
              ? Interval.exactly(ah.mid())
              : behind(leads.get(first), leads.get(i), ah.mid()));
    }
    return Optional.of(new SeriesString(d.left(), toFull));
  }

  private static Interval behind(Interval first, Interval own, double ah) {
    double mid = Math.max(0, first.mid() - own.mid());
    double low = Math.min(mid, Math.max(0, first.low() - own.high()));
    return new Interval(ah + low, ah + mid, ah + Math.max(mid, first.high() - own.low()));
  }

  /** The string as facts; its scale is known as far as what was drawn is. */
  static Facts facts(SeriesString string, Interval ah) {
    List<Facts> cells = new ArrayList<>();
    for (int i = 0; i < string.toEmpty().size(); i++) {
      Interval left = string.toEmpty().get(i);
      cells.add(bounds(left).put("cell", i + 1).build());
    }
    return Facts.of()
        .put("first_full_cell", string.firstFull())
        .put("first_empty_cell", string.firstEmpty())
        .put("smallest_cell", string.smallest())
        .put("balanced", bounds(scaled(string.balanced(), ah)).build())
        .put("imbalance_costs", bounds(string.imbalanceCosts()).build())
        .put("smallest_costs", bounds(string.smallestCosts()).build())
        .put("left", cells)
        .build();
  }

  private static Interval scaled(Interval of, Interval ah) {
    return new Interval(of.low() + ah.low() - ah.mid(), of.mid(), of.high() + ah.high() - ah.mid());
  }

  private static Facts.Builder bounds(Interval of) {
    return Facts.of()
        .putLow("low_ah", of.low(), 2)
        .put("mid_ah", of.mid(), 2)
        .putHigh("high_ah", of.high(), 2);
  }
}
