package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class BalanceMathTest {

  /** NIST StRD univariate NumAcc1, NumAcc3, NumAcc4: certified mean and standard deviation. */
  @ParameterizedTest
  @CsvSource({"1000000,1e-8", "10000000,1e-8"})
  void spreadStatisticsAreExactForLargeNumbers(double base, double tolerance) {
    SpreadSeries series = new SpreadSeries(2);
    series.add(base + 0.2, 1000);
    for (int i = 0; i < 500; i++) {
      series.add(base + 0.1, 1000);
      series.add(base + 0.3, 1000);
    }

    assertThat(series.mean()).isCloseTo(base + 0.2, within(1e-7));
    assertThat(series.deviation()).isCloseTo(0.1, within(tolerance));
  }

  /** Imbalance over bleed current times share of time (synthetic): 10, 224 and 280 h. */
  @ParameterizedTest
  @CsvSource({"1.0,0.1,1,10", "2.8,0.05,0.25,224", "2.8,0.1,0.1,280"})
  void hoursAreLeadOverBleedTimesDuty(double ah, double amperes, double duty, double hours) {
    Forecast forecast = Forecast.of(Interval.exactly(ah), 0, new Estimate(amperes * duty, 0), 0);

    assertThat(forecast.hours().orElseThrow().mid()).isCloseTo(hours, within(1e-9));
  }

  /** A rate that may be none: the end may never come, and no number stands for that. */
  @Test
  void hoursHaveNoEndWhereTheRateMayBeNone() {
    Forecast forecast = Forecast.of(Interval.exactly(1), 0, new Estimate(0.1, 0.1), 0);

    assertThat(forecast.hours().orElseThrow().high()).isInfinite();
    assertThat(forecast.hours().orElseThrow().low()).isCloseTo(5, within(1e-9));
  }

  /** 100 mA through 50 mohm a lead (synthetic): the cell -10 mV, its neighbours +5 mV. */
  /**
   * The recent spread is an exponentially weighted mean. Montgomery, Introduction to Statistical
   * Quality Control, 30 values around 10 with a weight of 0.1; the means were computed.
   */
  @Test
  void recentSpreadIsTheExponentialMeanOfMontgomerysValues() {
    double[] values = {
      9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40,
      10.08, 9.37, 10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62,
      11.31, 10.52
    };
    SpreadSeries series = new SpreadSeries(4);
    series.add(10, 0);

    List<Double> means = means(series, values, 0.1);

    assertThat(means.get(0)).isCloseTo(9.94500, within(5e-6));
    assertThat(means.get(1)).isCloseTo(9.74950, within(5e-6));
    assertThat(means.get(14)).isCloseTo(10.05251, within(5e-6));
    assertThat(means.get(28)).isCloseTo(10.64682, within(5e-6));
    assertThat(means.get(29)).isCloseTo(10.63414, within(5e-6));
  }

  /** NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.4, from memory: a weight of 0.3. */
  @Test
  void recentSpreadIsTheExponentialMeanOfTheHandbook() {
    double[] values = {
      52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8,
      51.2, 52.6, 52.4, 53.6, 52.1
    };
    double[] expected = {
      50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33, 50.11, 49.36, 49.52,
      50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99
    };
    SpreadSeries series = new SpreadSeries(4);
    series.add(50, 0);

    List<Double> means = means(series, values, 0.3);

    for (int i = 0; i < expected.length; i++) {
      assertThat(means.get(i)).isCloseTo(expected[i], within(5.1e-3));
    }
  }

  /** A step as long as gives a weight in a mean of an hour. */
  private static List<Double> means(SpreadSeries series, double[] values, double weight) {
    long stepMs = Math.round(3_600_000 * weight / (1 - weight));
    List<Double> means = new ArrayList<>();
    for (double value : values) {
      series.add(value, stepMs);
      means.add(series.recent());
    }
    return means;
  }

  @Test
  void fadingLineFindsTheSlopeOfALine() {
    FadingLine line = new FadingLine(2);
    for (int i = 0; i < 120; i++) {
      line.add(i / 60.0, 3 - 0.1 * i / 60.0 + (i % 2 == 0 ? 0.001 : -0.001));
    }

    assertThat(line.slope().interval().holds(-0.1)).isTrue();
    assertThat(line.atLast()).isCloseTo(3 - 0.1 * 119 / 60.0, within(0.002));
  }
}
