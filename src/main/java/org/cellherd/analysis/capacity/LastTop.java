package org.cellherd.analysis.capacity;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.FullChargeResult;
import org.cellherd.analysis.result.FullChargeResult.CellLead;
import org.cellherd.analysis.state.State;

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
   * Takes a full charge. One that only topped up often shows no cell rise through the knee: then
   * what was known before still holds.
   */
  void take(FullChargeResult fullCharge) {
    boolean isTopUp = fullCharge.chargedAh() < TOP_UP_SHARE * ratedAh;
    List<CellLead> rows = fullCharge.lead();
    if (isTopUp && rows.size() < leads.length && !leads().isEmpty()) {
      return;
    }
    isBalanced = fullCharge.state() == BalanceView.State.BALANCED;
    Arrays.fill(leads, Double.NaN);
    for (CellLead lead : rows) {
      int cell = lead.cell();
      if (cell >= 1 && cell <= leads.length && Double.isFinite(lead.ah().high())) {
        low[cell - 1] = lead.ah().low();
        leads[cell - 1] = lead.ah().mid();
        high[cell - 1] = lead.ah().high();
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
