package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.ZoneOffset;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.capacity.CapacityFold;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

/** A capacity is a statement about the day of its test. */
class CapacityVerbTest {

  private static final PackPlan PLAN =
      PackPlan.builder("p", Chemistry.LFP, 4, 1, 20_000).chargeMv(14_200).build();
  private static final long MINUTE = 60_000;

  /** A cell that leaks lets every discharge give less than the one before. */
  @Test
  void everyTestOfAPackThatGivesLessAndLessStandsBehindItsDay() {
    List<String> lines = sentences(4);

    assertThat(lines).hasSizeGreaterThan(2);
    assertThat(lines).allMatch(line -> line.matches("\\d May 2026  .*"), "begins with its day");
  }

  /** A paragraph for each of a season's tests buries what differs. */
  @Test
  void manyTestsAreATableAndTheNewestIsToldInWords() {
    List<String> lines = sentences(9);
    List<String> rows = lines.stream().filter(line -> line.endsWith("  cell 2")).toList();

    assertThat(lines.get(0)).contains("low to high, of rated, %".split(", ")).endsWith("ended by");
    assertThat(rows).hasSizeGreaterThan(5).hasSize(lines.size() - 2);
    assertThat(lines.get(lines.size() - 1))
        .startsWith(rows.get(rows.size() - 1).strip().substring(0, 10))
        .contains("from full to");
  }

  private static List<String> sentences(int days) {
    ModelPack pack = new ModelPack(PLAN, Instant.parse("2026-05-01T00:00:00Z").toEpochMilli(), 0.9);
    pack.leak(2, 30);
    FoldBench bench =
        new FoldBench(PLAN, AnalysisSettings.of(PLAN), FindingName.CAPACITY, CapacityFold::new);
    for (int day = 0; day < days; day++) {
      for (int minute = 0; minute < 24 * 60; minute++) {
        bench.feed(
            minute < 10 * 60
                ? pack.charge(MINUTE, 5, 14.2)
                : pack.read(0).cells().tenthMv(2) > 26_000 && minute < 20 * 60
                    ? pack.step(MINUTE, -4)
                    : pack.step(MINUTE, 0));
      }
    }
    return new CapacityVerb().sentences(bench.completed(), ZoneOffset.UTC);
  }
}
