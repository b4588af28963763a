package org.cellherd.analysis.balance;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** The leads as last worked out; a cell may be unknown. */
final class LeadTable {
  private final double[] low;
  private final double[] mid;
  private final double[] high;

  LeadTable(int cells) {
    low = new double[cells];
    mid = new double[cells];
    high = new double[cells];
    clear();
  }

  void clear() {
    Arrays.fill(mid, Double.NaN);
  }

  void set(List<Lead> leads) {
    clear();
    for (Lead lead : leads) {
      int i = lead.cell() - 1;
      low[i] = lead.ah().low();
      mid[i] = lead.ah().mid();
      high[i] = lead.ah().high();
    }
  }

  List<Lead> leads() {
    List<Lead> leads = new ArrayList<>();
    for (int i = 0; i < mid.length; i++) {
      if (!Double.isNaN(mid[i])) {
        leads.add(new Lead(i + 1, new Interval(low[i], mid[i], high[i])));
      }
    }
    return leads;
  }

  /** The cell that is furthest ahead; null while nothing is known. */
  @Nullable Lead greatest() {
    Lead best = null;
    for (Lead lead : leads()) {
      best = best == null || lead.ah().mid() > best.ah().mid() ? lead : best;
    }
    return best;
  }

  static List<Facts> facts(List<Lead> leads) {
    List<Facts> list = new ArrayList<>();
    for (Lead lead : leads) {
      list.add(
          Facts.of()
              .put("cell", lead.cell())
              .putLow("low_ah", lead.ah().low(), 3)
              .put("mid_ah", lead.ah().mid(), 3)
              .putHigh("high_ah", lead.ah().high(), 3)
              .build());
    }
    return list;
  }

  void save(StateWriter out) {
    out.putDoubles(low).putDoubles(mid).putDoubles(high);
  }

  void restore(StateReader in) {
    for (double[] target : new double[][] {low, mid, high}) {
      double[] saved = in.getDoubles();
      if (saved.length != target.length) {
        throw new StateMismatch("leads of " + saved.length + " cells");
      }
      System.arraycopy(saved, 0, target, 0, saved.length);
    }
  }
}
