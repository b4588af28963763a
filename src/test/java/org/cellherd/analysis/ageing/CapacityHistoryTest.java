package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Map;
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
              month * 30.4375 * 86_400_000,
              isCold ? 80 : 95,
              Interval.exactly(isCold ? 80 : 95),
              0.2,
              !isCold));
    }

    assertThat(history.sharePerYear().orElseThrow().mid()).isZero();
  }

  private static CapacityHistory.Entry entry(double atMs, double ah) {
    return new CapacityHistory.Entry(atMs, ah, Interval.exactly(ah), 0.2, true);
  }
}
