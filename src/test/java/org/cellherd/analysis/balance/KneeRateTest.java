package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class KneeRateTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 2, 1, 100_000);
  private final PackAnalysis analysis = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));

  /** Cell 1 follows a curve of minutes, cell 2 stands still. */
  private void feed(int seconds, double noiseMv, DoubleUnaryOperator mv) {
    Random random = new Random(1);
    for (int i = 0; i < seconds; i++) {
      double v = mv.applyAsDouble(i / 60.0) + noiseMv * random.nextGaussian();
      analysis.accept(
          Reading.at(1_767_225_600_000L + i * 1000L)
              .cells(CellVoltages.ofTenthMv((int) Math.round(v) * 10, 33_500))
              .currentMa(10_000)
              .build());
    }
  }

  @Test
  void straightRiseIsToldInMinutes() {
    feed(180, 0.4, m -> 3450 + 10 * m);

    assertThat(analysis.slopeMvPerMin(1).orElseThrow()).isCloseTo(10, within(1.5));
    assertThat(analysis.minutesTo(1, 3600).orElseThrow()).isCloseTo(12, within(2.5));
  }

  @Test
  void bentRiseIsReachedEarlierThanItsTangentSays() {
    feed(300, 0.4, m -> 3400 + 10 * Math.expm1(m / 2));

    double truth = 2 * Math.log1p((3600 - 3400) / 10.0) - 299 / 60.0;
    double now = 3400 + 10 * Math.expm1(299 / 120.0);
    double tangent = (3600 - now) / analysis.slopeMvPerMin(1).orElseThrow();
    double said = analysis.minutesTo(1, 3600).orElseThrow();
    assertThat(said).isLessThan(tangent);
    assertThat(said).isCloseTo(truth, within(0.25));
  }

  @Test
  void aCellThatDoesNotMoveThereHasNoTime() {
    feed(120, 0.4, m -> 3500 - 5 * m);

    assertThat(analysis.minutesTo(1, 3600)).isEmpty();
    assertThat(analysis.minutesTo(2, 3600)).isEmpty();
    assertThat(analysis.minutesTo(1, 3400).orElseThrow()).isPositive();
  }

  @Test
  void oneWrongReadingDoesNotSwayTheSlope() {
    feed(120, 0, m -> 3450 + 6 * m + (Math.abs(m - 1.8) < 0.01 ? 200 : 0));

    assertThat(analysis.slopeMvPerMin(1).orElseThrow()).isCloseTo(6, within(2.0));
  }
}
