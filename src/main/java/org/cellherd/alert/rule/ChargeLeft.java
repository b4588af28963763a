package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.result.SocResult;

/**
 * Charge that can still be drawn. What a pack holds is what was measured; of cells nobody measured
 * it lies between what cells are still used at and their label. What was drawn since the pack was
 * full was drawn whatever it holds: a worn pack lacks all of its wear at the end.
 *
 * @param ah charge left, Ah
 * @param surelyDrawnAh drawn since the pack was full by its highest count, Ah; 0 where the count
 *     does not begin there
 * @param isMeasured false when the capacity is only the label's
 */
record ChargeLeft(Interval ah, double surelyDrawnAh, boolean isMeasured) {
  /** Packs that hold less of their label are hardly used on (common practice, no source). */
  public static final int WORN_PCT = 50;

  /** Error of a capacity that was found between two anchors. */
  private static final double SPANNED_ERROR = 0.05;

  /**
   * By what the analyses know.
   *
   * @param givenAh the pack has given so much from full before and was not empty, Ah
   */
  public static ChargeLeft of(PackView view, Interval socPct, double givenAh) {
    Optional<SocResult> count = view.standing(FindingName.SOC, SocResult.class);
    double counted =
        count.map(SocResult::capacityAh).filter(Double::isFinite).orElse(view.plan().ratedAh());
    Optional<Interval> measured = measured(view, counted);
    Interval holds = measured.orElseGet(() -> worn(view.plan().ratedAh(), givenAh));
    boolean isFromTop = count.filter(c -> c.anchor().isTop()).isPresent();
    double drawn = (1 - socPct.mid() / 100) * counted;
    double mid = left(holds.mid(), socPct.mid(), drawn, isFromTop);
    double low = Math.min(mid, left(holds.low(), socPct.low(), drawn, isFromTop));
    double high = Math.max(mid, socPct.high() / 100 * holds.high());
    double surelyDrawn = isFromTop ? (1 - socPct.high() / 100) * counted : 0;
    return new ChargeLeft(new Interval(low, mid, high), surelyDrawn, measured.isPresent());
  }

  private static double left(double holds, double pct, double drawn, boolean isFromTop) {
    double share = pct / 100 * holds;
    return isFromTop ? Math.max(0, Math.min(share, holds - drawn)) : share;
  }

  /** From what is still used, or what it has given, to the label. */
  private static Interval worn(double rated, double givenAh) {
    double least = Math.min(rated, Math.max(rated * WORN_PCT / 100, givenAh));
    return new Interval(least, (least + rated) / 2, rated);
  }

  private static Optional<Interval> measured(PackView view, double counted) {
    Optional<Interval> test =
        view.standing(FindingName.CAPACITY, CapacityResult.class).flatMap(CapacityResult::ah);
    if (test.isPresent()) {
      return test;
    }
    // The count itself found out what fits between full and empty.
    return counted == view.plan().ratedAh()
        ? Optional.empty()
        : Optional.of(
            new Interval(counted * (1 - SPANNED_ERROR), counted, counted * (1 + SPANNED_ERROR)));
  }
}
