package org.cellherd.analysis.capacity;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;

/**
 * How the cells stood at the top before a test: tells a cell that ends a discharge for want of
 * charge, which balancing mends, from one that ends it for want of capacity. One thread.
 */
final class LastTop {
  private final double ratedAh;

  /** Of the rating: a spread that counts as balanced is worth no more (common practice). */
  private static final double BALANCED_SHARE = 0.002;

  private static final double TOP_UP_SHARE = 0.05;

  private final double[] low;
  private final double[] leads;
  private final double[] high;
  private boolean isBalanced;

  LastTop(int cells, double ratedAh) {
    this.ratedAh = ratedAh;
    low = new double[cells];
    leads = new double[cells];
    high = new double[cells];
    Arrays.fill(leads, Double.NaN);
  }

  /**
   * Takes the facts of a full charge. One that only topped up often shows no cell rise through the
   * knee: then what was known before still holds.
   */
  void take(Facts fullCharge) {
    boolean isTopUp = fullCharge.number("charged_ah").orElse(ratedAh) < TOP_UP_SHARE * ratedAh;
    List<?> rows = (List<?>) fullCharge.get("lead").orElse(List.of());
    if (isTopUp && rows.size() < leads.length && !leads().isEmpty()) {
      return;
    }
    isBalanced = fullCharge.text("state").filter("balanced"::equals).isPresent();
    Arrays.fill(leads, Double.NaN);
    for (Object row : rows) {
      if (row instanceof Facts lead) {
        int cell = (int) lead.number("cell").orElse(0);
        if (cell >= 1 && cell <= leads.length) {
          low[cell - 1] = lead.number("low_ah").orElse(0);
          leads[cell - 1] = lead.number("mid_ah").orElse(Double.NaN);
          high[cell - 1] = lead.number("high_ah").orElse(Double.MAX_VALUE);
        }
      }
    }
  }

  /** By how many Ah each cell was ahead of the last one; empty when not known of all of them. */
  List<Interval> leads() {
    List<Interval> all = new ArrayList<>();
    for (int i = 0; i < leads.length; i++) {
      if (!Double.isNaN(leads[i])) {
        all.add(new Interval(low[i], leads[i], high[i]));
      } else if (isBalanced) {
        all.add(new Interval(0, 0, BALANCED_SHARE * ratedAh));
      } else {
        return List.of();
      }
    }
    return all;
  }

  void state(State io) {
    io.each(low);
    io.each(leads);
    io.each(high);
    isBalanced = io.flag(isBalanced);
  }
}
