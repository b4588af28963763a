package org.cellherd.analysis.rest;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.OpenCsv;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class RestFoldTest {
  private static final long HOUR = 3_600_000L;
  private static final long START = 1_800_000_000_000L;
  private static final PackPlan LFP = PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000);
  private static final PackPlan NMC = PackPlan.of("p", Chemistry.NMC, 4, 1, 100_000);

  private final List<LogEntry> log = new ArrayList<>();
  private final Random random = new Random(11);
  private long now = START;

  @Test
  void findsALeakWhereTheCurveIsSteep() {
    rest(120, 3_150, 0, 0, -0.58 * 3, 0);
    load();

    Finding finding = only(LFP);
    assertThat(finding.facts().get("suspects")).contains(List.of(3));
    Facts cell = cell(finding.facts(), 3);
    assertThat(number(cell, "drift_mv_per_day")).isCloseTo(-1.74, within(0.1));
    assertThat(number(cell, "leak_ma_low")).isLessThan(14.5);
    assertThat(number(cell, "leak_ma_high")).isGreaterThan(4.9);
    assertThat(finding.sentence()).contains("Cell 3 falls 1.7 mV a day").contains("mA more than");
  }

  /**
   * From 3.385 V to 3.345 V in ten days: from where it lies on the plateau only the least is known.
   */
  @Test
  void aCellThatFallsOntoThePlateauMayLoseMoreThanItsVoltageShows() {
    rest(240, 3_385, 0, -4, 0, 0);
    load();

    Finding finding = only(LFP);
    assertThat(finding.facts().get("suspects")).contains(List.of(2));
    assertThat(number(cell(finding.facts(), 2), "leak_ma_low")).isGreaterThan(1);
    assertThat(cell(finding.facts(), 2).number("leak_ma_high")).isEmpty();
    assertThat(cell(finding.facts(), 3).number("leak_ma_high")).isPresent();
    assertThat(finding.sentence()).contains("it loses at least");
  }

  /** 5 mV/% of a 100 Ah cell and 4.9 mA: 0.58 mV a day, found in three days. */
  @Test
  void threeDaysFindAnUsualLeakAtTwentyPercent() {
    rest(80, 3_190, 0, 0, 0, -0.58);
    load();

    assertThat(only(LFP).facts().get("suspects")).contains(List.of(4));
    assertThat(number(cell(only(LFP).facts(), 4), "leak_ma_high")).isGreaterThan(4.9);
  }

  @Test
  void healthyCellsAreNotAccused() {
    rest(120, 3_150, 0, 0, 0, 0);
    load();

    assertThat(only(LFP).facts().get("suspects")).contains(List.of());
    assertThat(only(LFP).sentence()).contains("No cell falls behind");
  }

  @Test
  void thePlateauIsBlindAndSaysSo() {
    rest(120, 3_310, 0, 0, 0, -0.012);
    load();

    Finding finding = only(LFP);
    assertThat(finding.facts().get("suspects")).contains(List.of());
    assertThat(cell(finding.facts(), 4).number("leak_ma_high")).isEmpty();
    assertThat(finding.sentence()).contains("cannot be seen here");
  }

  @Test
  void relaxationIsDiscarded() {
    for (int i = 0; i < 100 * 60; i++) {
      double hours = i / 60.0;
      double sag = 12 * Math.exp(-hours / 0.6);
      add(3_150, sag, 0, 0, 0);
    }
    load();

    assertThat(only(LFP).facts().get("suspects")).contains(List.of());
    assertThat(number(cell(only(LFP).facts(), 1), "drift_mv_per_day")).isCloseTo(0, within(0.1));
    assertThat(only(LFP).facts().get("settled")).contains(true);
  }

  @Test
  void aShortRestGivesNoVerdict() {
    rest(30, 3_150, 0, 0, -3, 0);
    load();

    assertThat(only(LFP).facts().get("suspects")).contains(List.of());
    assertThat(only(LFP).facts().text("reason").orElse("")).contains("too short");
  }

  @Test
  void aHardLeakNeedsNoThreeDays() {
    rest(40, 3_150, 0, -30, 0, 0);
    load();

    assertThat(only(LFP).facts().get("suspects")).contains(List.of(2));
  }

  @Test
  void aLeakOfANickelRichCellIsFoundAnywhere() {
    rest(100, 3_700, -1, 0, 0, 0);
    load();

    Facts cell = cell(only(NMC).facts(), 1);
    assertThat(number(cell, "leak_ma_low")).isGreaterThan(1.5);
    assertThat(number(cell, "leak_ma_high")).isLessThan(25);
  }

  @Test
  void lowerCellsFallingTogetherMayBeTheBoard() {
    rest(100, 3_150, -1.5, -1.5, 0.2, 0.2);
    load();

    assertThat(only(LFP).facts().text("reason").orElse("")).contains("board's own supply");
  }

  @Test
  void aRestGoesOnOverAGapInWhichNothingMoved() {
    rest(40, 3_150, 0, 0, -1, 0);
    gap(5);
    rest(60, 3_150, 0, 0, -1, 0);
    load();

    assertThat(number(only(LFP).facts(), "hours")).isCloseTo(105, within(1.0));
  }

  @Test
  void aRestEndsWhenTheVoltageMovedUnheard() {
    rest(40, 3_150, 0, 0, 0, 0);
    gap(5);
    rest(40, 3_180, 0, 0, 0, 0);
    load();

    assertThat(bench(LFP).completed()).hasSize(2);
  }

  @Test
  void aRestUnderWayStands() {
    rest(80, 3_150, 0, 0, -1, 0);

    FoldBench bench = bench(LFP);
    assertThat(bench.completed()).isEmpty();
    assertThat(bench.standing().facts().get("suspects")).contains(List.of(3));
  }

  @Test
  void snapshotAndTailEqualTheWhole() {
    rest(50, 3_150, 0, 0, -1, 0);
    gap(3);
    rest(50, 3_150, 0, 0, -1, 0);
    load();
    rest(30, 3_150, 0, 0, 0, 0);
    FoldBench whole = bench(LFP);

    for (int cut : new int[] {10, 200, 2_500, 4_000, log.size() - 5}) {
      whole.assertSameFromSnapshot(log, cut);
    }
  }

  /**
   * Cells of 26 to 34 Ah that rest at half charge within 3 mV: open data of 28 retired cells,
   * Nature Communications 2024, s41467-024-54454-0.
   */
  @Test
  void restingVoltageInThePlateauJudgesNoRetiredCell() {
    double[] volts =
        OpenCsv.rows("lfp_35ah_retired_pulses.csv").stream()
            .filter(row -> OpenCsv.number(row, "soc_nominal_pct") == 50)
            .mapToDouble((Map<String, String> row) -> OpenCsv.number(row, "U13"))
            .toArray();
    int[] tenthMv = Arrays.stream(volts).mapToInt(v -> (int) Math.round(v * 10_000)).toArray();
    PackPlan plan = PackPlan.of("p", Chemistry.LFP, tenthMv.length, 1, 35_000);
    for (int i = 0; i < 100 * 20; i++) {
      now += 180_000;
      log.add(Reading.at(now).cells(CellVoltages.ofTenthMv(tenthMv)).currentMa(0).build());
    }
    now += 1_000;
    log.add(Reading.at(now).cells(CellVoltages.ofTenthMv(tenthMv)).currentMa(-5_000).build());

    Finding finding = only(plan);
    assertThat(finding.facts().get("suspects")).contains(List.of());
    assertThat(finding.facts().text("reason").orElse("")).contains("plateau");
  }

  private void rest(double hours, int mv, double... mvPerDay) {
    for (int i = 0; i < hours * 60; i++) {
      double days = (now - START) / (24.0 * HOUR);
      add(mv, mvPerDay[0] * days, mvPerDay[1] * days, mvPerDay[2] * days, mvPerDay[3] * days);
    }
  }

  private void add(int mv, double... offsets) {
    now += 60_000;
    int[] tenthMv = new int[4];
    for (int i = 0; i < 4; i++) {
      tenthMv[i] = (int) Math.round(mv + offsets[i] + random.nextGaussian() * 0.6) * 10;
    }
    log.add(Reading.at(now).cells(CellVoltages.ofTenthMv(tenthMv)).currentMa(0).build());
  }

  private void gap(int hours) {
    long from = now;
    now += hours * HOUR;
    log.add(new Gap(from, now, Gap.Cause.NO_BYTES));
  }

  private void load() {
    now += 60_000;
    log.add(
        Reading.at(now)
            .cells(CellVoltages.ofMv(3_100, 3_100, 3_100, 3_100))
            .currentMa(-10_000)
            .build());
  }

  private Finding only(PackPlan plan) {
    List<Finding> completed = bench(plan).completed();
    assertThat(completed).hasSize(1);
    return completed.get(0);
  }

  private FoldBench bench(PackPlan plan) {
    FoldBench bench =
        new FoldBench(plan, AnalysisSettings.of(plan), FindingName.REST, RestFold::new);
    log.forEach(bench::feed);
    return bench;
  }

  private static Facts cell(Facts facts, int cell) {
    return (Facts) ((List<?>) facts.get("cells").orElseThrow()).get(cell - 1);
  }

  private static double number(Facts facts, String name) {
    return facts.number(name).orElse(Double.NaN);
  }
}
