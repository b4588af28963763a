package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * Growth of the cells' leads from one full charge to the next, as the latest full charge told it: a
 * cell that falls behind leaks, and this shows where the plateau hides it. One thread.
 */
final class LeadGrowth {
  private static final int MOST = 64;

  /** Of the rating; so much less is felt in daily use. */
  private static final double FELT = 0.05;

  private final double feltAh;
  private final double leastAhPerDay;
  private final List<Growth> growths = new ArrayList<>();

  /**
   * Growth of a cell's lead, Ah a day.
   *
   * @param low NaN where it cannot be known
   */
  private record Growth(int cell, double low, double high) {
    private static final Growth NONE = new Growth(0, 0, 0);

    private Growth state(State io) {
      return new Growth(io.number(cell), io.number(low), io.number(high));
    }
  }

  LeadGrowth(double ratedAh) {
    feltAh = FELT * ratedAh;
    leastAhPerDay = SelfDischarge.soundMa(ratedAh) * 24 / 1000;
  }

  void take(Facts fullCharge) {
    List<?> rows = (List<?>) fullCharge.get("lead_growth").orElse(List.of());
    if (rows.isEmpty()) {
      return;
    }
    growths.clear();
    for (Object each : rows.subList(0, Math.min(rows.size(), MOST))) {
      if (each instanceof Facts row) {
        growths.add(
            new Growth(
                (int) row.number("cell").orElse(0),
                row.number("ah_per_day_low").orElse(Double.NaN),
                row.number("ah_per_day_high").orElse(0)));
      }
    }
  }

  List<Facts> facts() {
    List<Facts> rows = new ArrayList<>();
    for (Growth growth : growths) {
      rows.add(
          Facts.of()
              .put("cell", growth.cell())
              .putLow("ah_per_day_low", growth.low(), 4)
              .putHigh("ah_per_day_high", growth.high(), 4)
              .build());
    }
    return rows;
  }

  /**
   * Cells that surely fall behind by more than a sound cell may, with the current that they lose
   * and the days in which that is 5 % of the rating, as facts. Where a cell no longer comes to its
   * knee only the least is known.
   */
  List<Facts> leaking() {
    List<Facts> rows = new ArrayList<>();
    for (Growth growth : growths) {
      if (growth.high() < -leastAhPerDay) {
        rows.add(
            Facts.of()
                .put("cell", growth.cell())
                .putLow("leak_ma_low", -growth.high() * 1000 / 24, 1)
                .putHigh("leak_ma_high", -growth.low() * 1000 / 24, 1)
                .putLow("days_to_5_pct_low", feltAh / -growth.low(), 0)
                .putHigh("days_to_5_pct_high", feltAh / -growth.high(), 0)
                .build());
      }
    }
    return rows;
  }

  void state(State io) {
    io.list(growths, MOST, Growth.NONE, Growth::state);
  }
}
