package org.cellherd.app.verb;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.analysis.discharge.TestedDischarge;

/** One discharge as it is read row by row, by the trapezoid rule. One thread. */
final class TesterRun {

  /** Discharge flows at more than this, A: less is a tester's zero. */
  static final double FLOWS_A = 0.01;

  /** A sensor is off by about so much (common practice, 0.5 to 2 %). */
  private static final double ERROR_SHARE = 0.01;

  /** Rows further apart than this, and than ten usual steps, are a hole. */
  private static final double HOLE_S = 60;

  private final TesterPack pack;
  private final double fromS;
  private final DischargeCurve.Builder curve;
  private double lastS;
  private double lastA;
  private double lastV;
  private double usualS = Double.NaN;
  private double ah;
  private double wh;
  private double drawingS;
  private double unheardAh;

  TesterRun(TesterPack pack, double fromS) {
    this.pack = pack;
    this.fromS = fromS;
    this.lastS = fromS;
    curve = new DischargeCurve.Builder(pack.ratedAh().orElse(100), pack.series());
  }

  /** The next row; amps drawn are positive. */
  void row(double atS, double volts, double amps) {
    double step = atS - lastS;
    if (!curve.isEmpty()) {
      double stepAh = (amps + lastA) / 2 * step / 3600;
      ah += stepAh;
      wh += (amps * volts + lastA * lastV) / 2 * step / 3600;
      boolean isHole = step > HOLE_S && step > 10 * usualS;
      unheardAh += isHole ? stepAh : 0;
      usualS = isHole || step <= 0 ? usualS : step;
      drawingS += lastA > FLOWS_A ? step : 0;
    }
    if (amps > FLOWS_A) {
      curve.add(new DischargeCurve.Point(ah, wh, volts, Double.NaN, amps));
    }
    lastS = atS;
    lastA = amps;
    lastV = volts;
  }

  double ah() {
    return curve.isEmpty() ? 0 : ah;
  }

  /** The discharge; empty when next to nothing was drawn. */
  Optional<TestedDischarge> test(boolean isDated) {
    if (curve.isEmpty() || !(ah > 0) || !(drawingS > 0)) {
      return Optional.empty();
    }
    double loose = ERROR_SHARE * ah + unheardAh;
    return Optional.of(
        new TestedDischarge(
            pack.name(),
            isDated ? Math.round(fromS * 1000) : 0,
            curve.build(pack.series(), 0),
            new Interval(ah - loose, ah, ah + loose),
            wh,
            ah * 3600 / drawingS,
            Double.NaN,
            pack.ratedAh().orElse(Double.NaN)));
  }
}
