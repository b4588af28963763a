package org.cellherd.analysis.energy;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.IntStream;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.trend.StraightLine;
import org.junit.jupiter.api.Test;

class TrendCrossingTest {

  /** An own example: spread in mV over 14 days. */
  private static final double[] SPREAD = {
    8.0, 8.6, 8.3, 9.1, 9.0, 9.8, 9.5, 10.4, 10.1, 10.9, 11.3, 11.0, 11.9, 11.7
  };

  private static final double[] DAYS = days(14);

  @Test
  void limitsOfTheOwnExample() {
    StraightLine line = StraightLine.through(DAYS, SPREAD).orElseThrow();

    assertThat(TrendCrossing.g(line)).isCloseTo(0.0188950, within(1e-7));
    Interval mean = TrendCrossing.crossing(line, 20).orElseThrow();
    assertThat(mean.mid()).isCloseTo(40.2001, within(1e-4));
    assertThat(mean.low()).isCloseTo(36.0945, within(1e-4));
    assertThat(mean.high()).isCloseTo(45.6038, within(1e-4));
  }

  @Test
  void refusesADateFurtherAheadThanTheTimeObserved() {
    TrendCrossing crossing = TrendCrossing.ahead(DAYS, SPREAD, 20);

    assertThat(crossing.at()).isEmpty();
    assertThat(crossing.reason()).contains("further ahead than the time observed");
  }

  @Test
  void marksADateBeyondHalfTheTimeObserved() {
    TrendCrossing crossing = TrendCrossing.ahead(DAYS, SPREAD, 14.5);

    assertThat(crossing.at()).isPresent();
    assertThat(crossing.reason()).contains("half");
  }

  @Test
  void givesADateWithLimitsNearBy() {
    TrendCrossing crossing = TrendCrossing.ahead(DAYS, SPREAD, 13);

    assertThat(crossing.at().orElseThrow().mid()).isCloseTo(16.68, within(0.01));
    assertThat(crossing.reason()).isEmpty();
  }

  @Test
  void refusesWithoutATrend() {
    double[] flat = {1, 2, 1, 2, 1, 2, 1, 2};

    assertThat(TrendCrossing.ahead(days(8), flat, 5).reason()).isEqualTo("no steady trend");
  }

  @Test
  void refusesAThresholdBehind() {
    assertThat(TrendCrossing.ahead(DAYS, SPREAD, 5).reason()).contains("passed it before");
  }

  @Test
  void refusesFewPoints() {
    double[] few = {1, 2, 3};

    assertThat(TrendCrossing.ahead(few, few, 5).reason()).contains("found 3");
  }

  @Test
  void aPerfectLineHasADateWithoutWidth() {
    double[] x = days(10);

    Interval at = TrendCrossing.ahead(x, x, 11).at().orElseThrow();

    assertThat(at.low()).isCloseTo(11, within(1e-9));
    assertThat(at.high()).isCloseTo(11, within(1e-9));
  }

  private static double[] days(int count) {
    return IntStream.range(0, count).asDoubleStream().toArray();
  }
}
