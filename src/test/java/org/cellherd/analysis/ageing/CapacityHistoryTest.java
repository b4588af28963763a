package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.OpenCsv;
import org.junit.jupiter.api.Test;

class CapacityHistoryTest {

  /** Two glitches of some 31 Ah among cells of 1.1 Ah: open data, Nature Energy 2019. */
  @Test
  void glitchesOfMeasuredCyclesAreIgnored() {
    Map<String, CapacityHistory> cells = new TreeMap<>();
    int wild = 0;
    for (Map<String, String> row : OpenCsv.rows("lfp_1p1ah_first100cycles.csv")) {
      CapacityHistory.Entry entry =
          entry(OpenCsv.number(row, "cycle"), OpenCsv.number(row, "qd_ah"));
      CapacityHistory history =
          cells.computeIfAbsent(row.getOrDefault("cell", ""), c -> new CapacityHistory(1.1));
      history.add(entry);
      wild += history.isWild(entry) ? 1 : 0;
    }

    assertThat(cells).hasSize(41);
    assertThat(wild).isEqualTo(2);
    for (CapacityHistory history : cells.values()) {
      Interval slope = history.trend(1, 50).orElseThrow();
      assertThat(slope.mid()).isBetween(-1e-3, 1e-3);
      assertThat(history.newest().orElseThrow().mid()).isBetween(0.95, 1.1);
    }
  }

  @Test
  void fewTestsOrAShortTimeGiveNoTrend() {
    CapacityHistory history = new CapacityHistory(100);
    for (int i = 0; i < 10; i++) {
      history.add(entry(i * 86_400_000.0, 95 - 0.01 * i));
    }

    assertThat(history.sharePerYear()).isEmpty();
  }

  @Test
  void aSteadyLossIsFoundDespiteOneBadTest() {
    CapacityHistory history = new CapacityHistory(100);
    for (int month = 0; month < 24; month++) {
      double ah = month == 7 ? 81 : 95 - 2.0 * month / 12;
      history.add(entry(month * 30.4375 * 86_400_000, ah));
    }

    assertThat(history.sharePerYear().orElseThrow().mid()).isBetween(-0.0201, -0.0199);
  }

  @Test
  void aLastingDropIsDatedAtItsFirstTest() {
    CapacityHistory history = new CapacityHistory(100);
    for (int month = 0; month < 18; month++) {
      double ah = (month < 12 ? 95 : 92.5) + (month % 2 == 0 ? 0.1 : -0.1);
      history.add(entry(month * 30.0 * 86_400_000, ah));
    }

    assertThat(history.leftEarlyLevelMs()).hasValue(12 * 30.0 * 86_400_000);
  }

  @Test
  void aSteadyCapacityHasNotLeftItsLevel() {
    CapacityHistory history = new CapacityHistory(100);
    for (int month = 0; month < 18; month++) {
      double ah = 95 + (month % 2 == 0 ? 0.1 : -0.1);
      history.add(entry(month * 30.0 * 86_400_000, ah));
    }

    assertThat(history.leftEarlyLevelMs()).isEmpty();
  }

  @Test
  void testsThatCannotBeComparedStayOutOfTheTrend() {
    CapacityHistory history = new CapacityHistory(100);
    for (int month = 0; month < 12; month++) {
      boolean isCold = month % 2 == 1;
      history.add(
          new CapacityHistory.Entry(
              month * 30.4375 * 86_400_000, Interval.exactly(isCold ? 80 : 95), 25, 0.2, !isCold));
    }

    assertThat(history.sharePerYear().orElseThrow().mid()).isZero();
  }

  /**
   * Cells lose from nothing to 1 % of their capacity for each kelvin of cold, by make, chemistry
   * and current (common practice, no source), and months get colder or warmer: that is no ageing.
   */
  @Test
  void warmthAndColdOfTheYearAreNoAgeing() {
    SplittableRandom random = new SplittableRandom(20_261_201);
    for (int run = 0; run < 300; run++) {
      double perKelvin = random.nextDouble(0, 0.01);
      double perYear = random.nextBoolean() ? 0 : -random.nextDouble(0.06);
      double mildC = random.nextDouble(10, 25);
      double swingK = random.nextDouble(12);
      double phase = random.nextDouble(2 * Math.PI);
      int tests = random.nextInt(4, 14);
      CapacityHistory history = new CapacityHistory(100);
      double atRoom = 0;
      for (int i = 0; i < tests; i++) {
        double year = i * 25 / 365.25;
        double tempC = Math.max(0, mildC + swingK * Math.sin(phase + 2 * Math.PI * year));
        atRoom = 90 * (1 + perYear * year);
        double ah = atRoom * (1 - perKelvin * Math.max(0, 25 - tempC));
        history.add(
            new CapacityHistory.Entry(
                year * 365.25 * 86_400_000, Interval.exactly(ah), tempC, 0.2, true));
      }
      String which = "run %d, %s a kelvin".formatted(run, perKelvin);
      double truth = 0.9 * perYear;
      history
          .sharePerYear()
          .ifPresent(
              told -> assertThat(truth).as(which).isBetween(told.low() - 1e-3, told.high() + 1e-3));
      if (perYear == 0) {
        assertThat(history.leftEarlyLevelMs()).as(which).isEmpty();
        assertThat(atRoom)
            .as(which)
            .isBetween(
                history.newest().orElseThrow().low() - 1e-9,
                history.newest().orElseThrow().high() + 1e-9);
      }
    }
  }

  private static CapacityHistory.Entry entry(double atMs, double ah) {
    return new CapacityHistory.Entry(atMs, Interval.exactly(ah), 25, 0.2, true);
  }
}
