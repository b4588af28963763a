package org.cellherd.app.logged;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.discharge.DischargeCurve;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Drawn discharges whose charge and energy are known by integration on paper. */
class LoggedCurveTest {

  private static final long START = 1_800_000_000_000L;

  /**
   * Each cell falls as {@code a - b q - c q^3} of the charge q under a constant current: the energy
   * is the series' sum of {@code a Q - b Q^2 / 2 - c Q^4 / 4}.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void chargeEnergyAndVoltagesAreThoseOfTheDrawnCurve(long seed) {
    Random random = new Random(seed);
    int series = 1 + random.nextInt(16);
    int stepS = 1 + random.nextInt(20);
    double amps = 2 + random.nextInt(20);
    double ah = 10 + random.nextInt(90);
    double a = 3.4;
    double b = 0.2 / ah * random.nextDouble();
    double c = 0.5 / Math.pow(ah, 3) * random.nextDouble();
    int weak = 1 + random.nextInt(series);
    PackPlan plan = PackPlan.builder("p", Chemistry.LFP, series, 1, (int) (ah * 1000)).build();
    LoggedCurve logged = new LoggedCurve(plan, AnalysisSettings.of(plan), weak);

    long steps = (long) (ah / amps * 3600 / stepS);
    for (long i = 0; i <= steps; i++) {
      double q = amps * i * stepS / 3600;
      double[] volts = new double[series];
      for (int cell = 0; cell < series; cell++) {
        volts[cell] = a - b * q - c * q * q * q - (cell + 1 == weak ? 0.05 : 0);
      }
      logged.accept(reading(START + i * stepS * 1000, volts, amps));
    }
    DischargeCurve curve = logged.curve().orElseThrow();

    double end = amps * steps * stepS / 3600.0;
    double energy = series * (a * end - b * end * end / 2 - c * Math.pow(end, 4) / 4) - 0.05 * end;
    assertThat(curve.end().ah()).as("seed %d", seed).isCloseTo(end, within(1e-6 * end));
    assertThat(curve.end().wh()).isCloseTo(energy, within(1e-4 * energy));
    assertThat(curve.points().size()).isLessThanOrEqualTo(2_001);
    for (int i = 1; i < 20; i++) {
      double q = end * i / 20;
      double volts = series * (a - b * q - c * q * q * q) - 0.05;
      assertThat(curve.voltsAt(q).orElseThrow()).isCloseTo(volts, within(0.0006 * series + 0.003));
    }
    double lowest = a - b * end - c * Math.pow(end, 3) - 0.05;
    assertThat(curve.end().cellVolts()).isCloseTo(lowest, within(0.0001));
    assertThat(curve.voltsAt(end * 1.01)).isEmpty();
  }

  private static Reading reading(long atMs, double[] volts, double amps) {
    int[] tenths = new int[volts.length];
    for (int i = 0; i < volts.length; i++) {
      tenths[i] = (int) Math.round(volts[i] * 10_000);
    }
    return Reading.at(atMs)
        .cells(CellVoltages.ofTenthMv(tenths))
        .currentMa((int) Math.round(-amps * 1000))
        .build();
  }
}
