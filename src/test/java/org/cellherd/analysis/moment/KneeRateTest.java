package org.cellherd.analysis.moment;

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

  /**
   * A charger that holds its voltage lets the current sink within a minute or two. Polled every
   * second to every minute, the cell that is ahead is never said to rise much faster than it does.
   */
  @Test
  void aRiseThatALargerCurrentMadeIsNotToldOfASmallerOne() {
    for (long seed = 1; seed <= 60; seed++) {
      Random random = new Random(seed * 0x9E3779B97F4A7C15L);
      PackAnalysis pack = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));
      double pollS = Math.pow(60, random.nextDouble());
      double sinksS = 20 + 100 * random.nextDouble();
      double perAh = 0.2 + random.nextDouble();
      double amperes = 10 + 40 * random.nextDouble();
      double above = 60;
      double flowing = amperes;
      double rate = 0;
      int polled = 0;
      for (int s = 0; s < 3600 && flowing > 0.02 * amperes; s++) {
        flowing = above > 180 ? flowing * Math.exp(-1 / sinksS) : flowing;
        rate = perAh * above * flowing / 60;
        above += rate / 60;
        if (s < polled * pollS) {
          continue;
        }
        polled++;
        pack.accept(
            Reading.at(1_767_225_600_000L + s * 1000L)
                .cells(
                    CellVoltages.ofTenthMv(
                        (int) Math.round(34_000 + 10 * above + 8 * random.nextGaussian()), 34_000))
                .currentMa((int) Math.round(1000 * flowing))
                .build());
        if (flowing < amperes / 2) {
          assertThat(pack.slopeMvPerMin(1).orElse(0))
              .as("seed %d each %.0f s, %.1f of %.1f A", seed, pollS, flowing, amperes)
              .isLessThan(2 * rate + 8);
        }
      }
    }
  }
}
