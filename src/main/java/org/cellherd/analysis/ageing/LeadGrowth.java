package org.cellherd.analysis.ageing;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.Facts;

/**
 * Growth of the cells' leads from one full charge to the next, as the latest full charge told it: a
 * cell that falls behind leaks, and this shows where the plateau hides it. One thread.
 */
final class LeadGrowth {
  private static final int FIELDS = 3;
  private static final int MOST = 64;

  /** Of the rating; so much less is felt in daily use. */
  private static final double FELT = 0.05;

  private final double feltAh;
  private final double leastAhPerDay;
  private double[] flat = new double[0];

  LeadGrowth(double ratedAh) {
    feltAh = FELT * ratedAh;
    leastAhPerDay = SelfDischarge.soundMa(ratedAh) * 24 / 1000;
  }

  void take(Facts fullCharge) {
    List<?> rows = (List<?>) fullCharge.get("lead_growth").orElse(List.of());
    double[] next = new double[Math.min(rows.size(), MOST) * FIELDS];
    for (int i = 0; i < next.length / FIELDS; i++) {
      if (rows.get(i) instanceof Facts row) {
        next[FIELDS * i] = row.number("cell").orElse(0);
        next[FIELDS * i + 1] = row.number("ah_per_day_low").orElse(Double.NaN);
        next[FIELDS * i + 2] = row.number("ah_per_day_high").orElse(0);
      }
    }
    if (next.length > 0) {
      flat = next;
    }
  }

  List<Facts> facts() {
    List<Facts> rows = new ArrayList<>();
    for (int i = 0; i < flat.length; i += FIELDS) {
      rows.add(
          Facts.of()
              .put("cell", (long) flat[i])
              .putLow("ah_per_day_low", flat[i + 1], 4)
              .putHigh("ah_per_day_high", flat[i + 2], 4)
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
    for (int i = 0; i < flat.length; i += FIELDS) {
      if (flat[i + 2] < -leastAhPerDay) {
        rows.add(
            Facts.of()
                .put("cell", (long) flat[i])
                .putLow("leak_ma_low", -flat[i + 2] * 1000 / 24, 1)
                .putHigh("leak_ma_high", -flat[i + 1] * 1000 / 24, 1)
                .putLow("days_to_5_pct_low", feltAh / -flat[i + 1], 0)
                .putHigh("days_to_5_pct_high", feltAh / -flat[i + 2], 0)
                .build());
      }
    }
    return rows;
  }

  void save(StateWriter out) {
    out.putDoubles(flat);
  }

  void restore(StateReader in) {
    double[] saved = in.getDoubles();
    if (saved.length % FIELDS != 0 || saved.length > MOST * FIELDS) {
      throw new StateMismatch(saved.length + " numbers of lead growth");
    }
    flat = saved;
  }
}
