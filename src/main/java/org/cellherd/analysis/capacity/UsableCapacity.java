package org.cellherd.analysis.capacity;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult.Amount;
import org.cellherd.analysis.result.CapacityResult.Left;
import org.cellherd.analysis.result.CapacityResult.Limit;
import org.cellherd.analysis.result.CapacityResult.Usable;

/**
 * What the cells that are full first and empty first cost the string: by how they stood at the full
 * charge before a test and at its end.
 */
final class UsableCapacity {
  /** Of the rating; less is not worth a sentence, and no more is charged twice alike. */
  static final double TELLING_SHARE = 0.01;

  /** Of the rating: two tests of one pack agree no better over months (common practice). */
  private static final double NEXT_TO_NOTHING = 0.03;

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

  /** What keeps the string from giving more. */
  static Limit limit(Optional<SeriesString> string, double ratedAh) {
    if (string.isEmpty()) {
      return Limit.UNKNOWN;
    }
    double low = string.get().imbalanceCosts().low();
    double high = string.get().imbalanceCosts().high();
    if (low >= TELLING_SHARE * ratedAh) {
      return Limit.CHARGE;
    }
    return high <= NEXT_TO_NOTHING * ratedAh ? Limit.CAPACITY : Limit.UNKNOWN;
  }

  /** The string as a part of the result; its scale is known as far as what was drawn is. */
  static Usable usable(SeriesString string, Interval ah) {
    List<Left> cells = new ArrayList<>();
    for (int i = 0; i < string.toEmpty().size(); i++) {
      cells.add(new Left(string.toEmpty().get(i), i + 1));
    }
    return new Usable(
        string.firstFull(),
        string.firstEmpty(),
        string.smallest(),
        new Amount(scaled(string.balanced(), ah)),
        new Amount(string.imbalanceCosts()),
        new Amount(string.smallestCosts()),
        cells);
  }

  private static Interval scaled(Interval of, Interval ah) {
    return new Interval(of.low() + ah.low() - ah.mid(), of.mid(), of.high() + ah.high() - ah.mid());
  }
}
