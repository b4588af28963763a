package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.ZoneId;
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

  /** 100 mA through 50 mohm a lead (synthetic): the cell -10 mV, its neighbours +5 mV. */
  @Test
  void oneBleedingCellIsToldFromItsNeighbours() {
    int[] signs = new TapDrop(6).solve(new int[] {0, 50, -100, 50, 0, 0}, 0, 40);

    assertThat(signs).containsExactly(0, 0, 1, 0, 0, 0);
  }

  /** A cell that flickers beside one that is bled all the time (synthetic, noise of a board). */
  @ParameterizedTest
  @CsvSource({"60,-110,80,10", "70,-130,60,-10", "50,-120,70,20"})
  void aFlickeringCellDoesNotEndItsNeighboursBleeding(int a, int b, int c, int d) {
    int[] signs = new TapDrop(4).solve(new int[] {a, b, c, d}, 120, 40);

    assertThat(signs).containsExactly(0, 1, 0, 0);
  }

  @Test
  void oddAndEvenCellsThatTakeTurnsAreAllFound() {
    int[] jumps = new int[8];
    int[] began = {-1, 1, -1, 1, -1, 1, 0, 0};
    for (int i = 0; i < 8; i++) {
      jumps[i] -= 100 * began[i];
      if (i > 0) {
        jumps[i - 1] += 50 * began[i];
      }
      if (i < 7) {
        jumps[i + 1] += 50 * began[i];
      }
    }

    assertThat(new TapDrop(8).solve(jumps, 0, 40)).containsExactly(began);
    assertThat(new TapDrop(8).solve(jumps, 100, 40)).containsExactly(began);
  }

  @Test
  void aMovementOfAllCellsIsLeftOver() {
    TapDrop drop = new TapDrop(4);
    int[] jumps = {-60, -60, -60, -60};
    drop.solve(jumps, 120, 40);

    assertThat(Math.abs(drop.leftLift(jumps))).isGreaterThan(20);
  }

  @Test
  void commonDropIsTheLeastSquaresOne() {
    double drop = new TapDrop(4).common(new int[] {50, -100, 50, 0}, 0b0010, 0);

    assertThat(drop).isCloseTo(100, within(1e-9));
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

  @Test
  void timeIsSaidAsTheOwnersClockShowsIt() {
    assertThat(Words.time(1_767_225_600_000L, ZoneId.of("Asia/Kolkata")))
        .isEqualTo("2026-01-01 05:30");
  }
}
