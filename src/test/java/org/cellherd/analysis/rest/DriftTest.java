package org.cellherd.analysis.rest;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DriftTest {

  /** Own examples: 1 mV of white noise, hourly and daily points. */
  @ParameterizedTest
  @CsvSource({
    "24, 24, 0.708",
    "24, 72, 0.136",
    "24, 168, 0.0382",
    "24, 336, 0.0135",
    "1, 14, 0.0663",
    "1, 28, 0.0234"
  })
  @Test
  void noiseThatFollowsItselfWidensTheError() {
    assertThat(Drift.correlated(0.9)).isCloseTo(4.36, within(0.005));
  }

  @Test
  void findsASlowDriftInNoise() {
    double[] days = new double[72];
    double[] mv = new double[72];
    Random random = new Random(5);
    for (int i = 0; i < 72; i++) {
      days[i] = i / 24.0;
      mv[i] = 2 - 0.8 * days[i] + random.nextGaussian() * 0.3;
    }

    Drift drift = Drift.of(days, mv, 1).orElseThrow();

    assertThat(drift.mvPerDay()).isCloseTo(-0.8, within(3 * drift.errorMvPerDay()));
    assertThat(drift.isFalling()).isTrue();
  }

  @Test
  void aChangeBelowTheLastDigitIsNotSeen() {
    double[] days = {0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5};
    double[] mv = {0, 0, 0, 0, 0, 0, 0, 0};

    Drift drift = Drift.of(days, mv, 1).orElseThrow();

    assertThat(drift.errorMvPerDay()).isCloseTo(1 / 3.5 / 3, within(1e-12));
  }

  @Test
  void aSeriesOfAnyLengthFits() {
    DriftSeries series = new DriftSeries(1);
    for (int hour = 0; hour < 5_000; hour++) {
      series.add(hour + 0.5, new double[] {hour * 0.01});
    }

    Drift drift = Drift.of(series.days(), series.column(1), 1).orElseThrow();
    assertThat(series.count()).isBetween(48, 96);
    assertThat(drift.mvPerDay()).isCloseTo(0.24, within(1e-6));
  }
}
