package org.cellherd.analysis.discharge;

import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult;

/**
 * A capacity test with its curve, ready to be drawn and compared.
 *
 * @param pack whose it is, as people call it
 * @param fromMs first load, ms UTC; 0 where only durations are known
 * @param curve voltage over charge
 * @param ah capacity with its bounds
 * @param wh energy drawn, of the best value
 * @param amps mean current, positive
 * @param tempC mean temperature of the cells; NaN when not told
 * @param ratedAh of the pack; NaN when not told
 */
public record TestedDischarge(
    String pack,
    long fromMs,
    DischargeCurve curve,
    Interval ah,
    double wh,
    double amps,
    double tempC,
    double ratedAh) {

  /** Rates that differ by so much are two rates: as where Peukert's exponent is told. */
  public static final double TWO_RATES = 1.5;

  /**
   * A whole test of the log; empty for what was refused or left charge in the pack. The curve ends
   * at the figures of the test, which allow for what the board's current is off by: under a steady
   * load that goes with the charge.
   */
  public static Optional<TestedDischarge> of(
      String pack, double ratedAh, Finding test, DischargeCurve curve) {
    return test.result(CapacityResult.class)
        .filter(CapacityResult::isWhole)
        .map(
            found -> {
              Interval ah = found.ah().orElseThrow();
              double wh = found.energy().wh().map(Interval::mid).orElse(Double.NaN);
              return new TestedDischarge(
                  pack,
                  test.fromMs(),
                  curve.endingAt(ah.mid(), wh),
                  ah,
                  wh,
                  found.meanCurrentA(),
                  found.conditions().meanTempC(),
                  ratedAh);
            });
  }

  public TestedDischarge named(String name) {
    return new TestedDischarge(name, fromMs, curve, ah, wh, amps, tempC, ratedAh);
  }

  /** Energy over charge, V of the pack. */
  public double meanVolts() {
    return wh / ah.mid();
  }

  /** True when the other was drawn with another current, so that the two tell a drop. */
  public boolean isAtAnotherRate(TestedDischarge other) {
    double ratio = amps / other.amps;
    return ratio >= TWO_RATES || ratio <= 1 / TWO_RATES;
  }

  /** Energy with the bounds of the charge, Wh. */
  public Interval whInterval() {
    return new Interval(ah.low() * meanVolts(), wh, ah.high() * meanVolts());
  }
}
