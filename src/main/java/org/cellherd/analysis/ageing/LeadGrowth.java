package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.analysis.result.AgeingResult.Leaking;
import org.cellherd.analysis.result.CellGrowth;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.state.State;

/**
 * Growth of the cells' leads from one full charge to the next, as the latest full charge told it: a
 * cell that falls behind leaks, and this shows where the plateau hides it. One thread.
 */
final class LeadGrowth {
  private static final int MOST = 64;
  private static final CellGrowth NONE = new CellGrowth(0, Interval.exactly(0));

  /** Of the rating; so much less is felt in daily use. */
  private static final double FELT = 0.05;

  private final double feltAh;
  private final double leastAhPerDay;
  private final List<CellGrowth> growths = new ArrayList<>();

  LeadGrowth(double ratedAh) {
    feltAh = FELT * ratedAh;
    leastAhPerDay = SelfDischarge.soundMa(ratedAh) * 24 / 1000;
  }

  void take(FullChargeResult fullCharge) {
    List<CellGrowth> rows = fullCharge.leadGrowth();
    if (rows.isEmpty()) {
      return;
    }
    growths.clear();
    growths.addAll(rows.subList(0, Math.min(rows.size(), MOST)));
  }

  List<CellGrowth> cells() {
    return List.copyOf(growths);
  }

  /**
   * Cells that surely fall behind by more than a sound cell may, with the current that they lose
   * and the days in which that is 5 % of the rating. Where a cell no longer comes to its knee only
   * the least is known.
   */
  List<Leaking> leaking() {
    List<Leaking> rows = new ArrayList<>();
    for (CellGrowth growth : growths) {
      double least = -growth.ahPerDay().high();
      double most = -growth.ahPerDay().low();
      if (least > leastAhPerDay) {
        rows.add(
            new Leaking(
                growth.cell(),
                interval(least * 1000 / 24, most * 1000 / 24),
                Double.isInfinite(most)
                    ? interval(Double.NEGATIVE_INFINITY, feltAh / least)
                    : interval(feltAh / most, feltAh / least)));
      }
    }
    return rows;
  }

  private static Interval interval(double low, double high) {
    double mid = Double.isInfinite(low) ? high : Double.isInfinite(high) ? low : (low + high) / 2;
    return new Interval(low, mid, high);
  }

  void state(State io) {
    io.list(
        growths,
        MOST,
        NONE,
        (now, form) -> new CellGrowth(form.number(now.cell()), now.ahPerDay().state(form)));
  }
}
