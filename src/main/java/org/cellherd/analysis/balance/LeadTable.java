package org.cellherd.analysis.balance;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;

/**
 * Where the cells stood when that was last measured: each against one of them, which was taken for
 * the last and need not be. What has been bled since, and what may have leaked unseen, is added
 * when the leads are asked for.
 */
final class LeadTable {
  /** A share of the pack from which on a width says that nothing is known. */
  private static final double UNKNOWN_SHARE = 0.5;

  /**
   * A failing cell, or a board that feeds itself from some cells, takes tens of mA unseen until the
   * next top shows it (common practice, no source).
   */
  static final double HIDDEN_LEAK_A = 0.04;

  private final double ratedAh;
  private final double[] low;
  private final double[] mid;
  private final double[] high;
  private final double[] bledHours;
  private long upMs;

  LeadTable(int cells, double ratedAh) {
    this.ratedAh = ratedAh;
    low = new double[cells];
    mid = new double[cells];
    high = new double[cells];
    bledHours = new double[cells];
    clear();
  }

  private void clear() {
    Arrays.fill(mid, Double.NaN);
  }

  /**
   * Takes new positions.
   *
   * @param positions ahead of one of the cells, Ah; bounds may be negative
   * @param atUpMs when they were measured, fold time
   * @param hours how long each cell had been bled by then
   */
  void set(List<Lead> positions, long atUpMs, double[] hours) {
    clear();
    upMs = atUpMs;
    System.arraycopy(hours, 0, bledHours, 0, hours.length);
    for (Lead lead : positions) {
      int i = lead.cell() - 1;
      low[i] = lead.ah().low();
      mid[i] = lead.ah().mid();
      high[i] = lead.ah().high();
    }
  }

  /** A cell has fallen since: by anything, and the others lead it by that much more. */
  void fell(int cell) {
    int reference = reference();
    for (int k = 0; k < mid.length; k++) {
      if (cell == reference && k != cell) {
        high[k] = mid[k] + ratedAh;
      }
    }
    if (cell != reference) {
      low[cell] = mid[cell] - ratedAh;
    }
  }

  /** Leads over the last cell as measured; a cell may be unknown. */
  List<Lead> leads() {
    return overLast(low, mid, high);
  }

  /**
   * Leads over the last cell now. What is known of the current of bleeding by now counts from the
   * measurement on: what was bled before is in what was measured.
   *
   * @param nowUpMs fold time
   * @param bled how long each cell was bled since the log began, h
   * @param bleed by which current, A
   */
  List<Lead> leads(long nowUpMs, double[] bled, Estimate bleed) {
    int reference = reference();
    double hours = Math.max(0, nowUpMs - upMs) / 3_600_000.0;
    double[] lower = low.clone();
    double[] middle = mid.clone();
    double[] upper = high.clone();
    for (int i = 0; i < mid.length && reference >= 0; i++) {
      double more = bled[i] - bledHours[i] - bled[reference] + bledHours[reference];
      double error = i == reference ? 0 : HIDDEN_LEAK_A * hours + bleed.half() * Math.abs(more);
      middle[i] -= bleed.mid() * more;
      lower[i] = middle[i] - Math.hypot(mid[i] - low[i], error);
      upper[i] = middle[i] + Math.hypot(high[i] - mid[i], error);
    }
    return overLast(lower, middle, upper);
  }

  /** The cell that the others are measured against; -1 while nothing is known. */
  private int reference() {
    for (int i = 0; i < mid.length; i++) {
      if (mid[i] == 0 && low[i] == 0 && high[i] == 0) {
        return i;
      }
    }
    return -1;
  }

  /**
   * Any cell whose interval reaches below the one measured against may be the last, and then all
   * lead by that much more.
   */
  private static List<Lead> overLast(double[] low, double[] mid, double[] high) {
    double last = Double.POSITIVE_INFINITY;
    for (double m : mid) {
      last = Double.isNaN(m) ? last : Math.min(last, m);
    }
    List<Lead> leads = new ArrayList<>();
    for (int k = 0; k < mid.length; k++) {
      if (!Double.isNaN(mid[k])) {
        double middle = mid[k] - last;
        double most = Math.max(middle, high[k]);
        for (int j = 0; j < mid.length; j++) {
          boolean mayBeLast = j != k && !Double.isNaN(mid[j]) && low[j] < 0;
          double error = Math.max(high[k] - mid[k], mid[j] - low[j]);
          most = mayBeLast ? Math.max(most, mid[k] - mid[j] + error) : most;
        }
        leads.add(
            new Lead(k + 1, new Interval(Math.min(middle, Math.max(0, low[k])), middle, most)));
      }
    }
    return leads;
  }

  /**
   * The same leads; of one whose bounds lie so far apart that its upper one says nothing, and so
   * neither does the middle, only the lower one.
   */
  List<Lead> told(List<Lead> found) {
    List<Lead> told = found;
    for (int i = 0; i < found.size(); i++) {
      Interval ah = found.get(i).ah();
      if (ah.high() - ah.low() >= UNKNOWN_SHARE * ratedAh) {
        told = told == found ? new ArrayList<>(found) : told;
        Interval open = new Interval(ah.low(), ah.low(), Double.POSITIVE_INFINITY);
        told.set(i, new Lead(found.get(i).cell(), open));
      }
    }
    return told;
  }

  void state(State io) {
    for (double[] target : new double[][] {low, mid, high, bledHours}) {
      io.each(target);
    }
    upMs = io.number(upMs);
  }
}
