package org.cellherd.analysis.setpoint;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * What a resting voltage says of the charge.
 *
 * @param fromMv voltage of a cell after hours at rest, 25 degC
 * @param toMv the same, or the upper end of a plateau on which voltage says nothing
 * @param pct state of charge
 */
public record RestRow(int fromMv, int toMv, Interval pct) {

  /** A voltmeter's error and a rest that is not quite over, V; common practice, no source. */
  private static final double METER_V = 0.005;

  private static final double[] SHARES = {0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.97};

  /** The table, lowest voltage first. */
  static List<RestRow> of(PackPlan plan) {
    CellCurve curve = CellCurve.of(plan.chemistry());
    List<RestRow> rows = new ArrayList<>();
    List<Integer> besidePlateau = plan.chemistry().sheet().openCircuit().besidePlateauMv();
    if (besidePlateau.isEmpty()) {
      for (double share : SHARES) {
        rows.add(at(curve, (int) Math.round(curve.volts(share) * 100) * 10));
      }
      return rows;
    }
    AnalysisSettings usual = AnalysisSettings.of(plan);
    for (int mv : besidePlateau) {
      if (mv > usual.blindToMv() && rows.get(rows.size() - 1).fromMv < usual.blindFromMv()) {
        rows.add(plateau(at(curve, usual.blindFromMv()), at(curve, usual.blindToMv())));
      }
      rows.add(at(curve, mv));
    }
    return rows;
  }

  private static RestRow at(CellCurve curve, int mv) {
    return new RestRow(mv, mv, curve.pct(mv / 1000.0, METER_V + curve.hysteresisV() / 2));
  }

  private static RestRow plateau(RestRow low, RestRow high) {
    double middle = (low.pct.low() + high.pct.high()) / 2;
    return new RestRow(low.fromMv, high.toMv, new Interval(low.pct.low(), middle, high.pct.high()));
  }

  /** True on the plateau: only counted ampere-hours tell the charge there. */
  public boolean isPlateau() {
    return fromMv < toMv;
  }

  /** Such as {@code 3.10 V} or {@code 3.20 to 3.37 V}. */
  public String volts() {
    String to = Spoken.packVolts(toMv);
    return isPlateau() ? Spoken.number(fromMv / 1000.0, 2) + " to " + to : to;
  }

  /** Such as {@code 2 to 28 %}. */
  public String charge() {
    return Spoken.low(pct.low(), 0) + " to " + Spoken.high(pct.high(), 0) + " %";
  }

  public Facts facts() {
    return Facts.of()
        .put("cell_from_mv", fromMv)
        .put("cell_to_mv", toMv)
        .putLow("low_pct", pct.low(), 0)
        .putHigh("high_pct", pct.high(), 0)
        .put("plateau", isPlateau())
        .build();
  }
}
