package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.cellherd.SimulatedRun;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.SpokenTime;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a report says of alerts that are over, against the readings that raised them. */
class AlertSpanTest {

  @ParameterizedTest
  @CsvSource({"first-night, 7", "first-night, 12", "first-night, 15", "over-discharge, 5"})
  void whatIsOverIsToldByTheWorstReadingOfTheLog(String scenario, long seed) {
    NavigableMap<Long, Reading> readings = new TreeMap<>();
    Scenario night = Scenarios.open(scenario).withSeed(seed);
    SimulatedRun run =
        new SimulatedRun(night, true)
            .run(
                night.pollMs(),
                r -> r.analysis().reading().ifPresent(one -> readings.put(one.timeMs(), one)));

    List<AlertSpan> over =
        AlertSpan.of(run.events()).stream().filter(s -> s.toMs().isPresent()).toList();
    List<String> told = new ArrayList<>();
    for (AlertSpan span : over) {
      String text = span.text(ZoneOffset.UTC);
      told.add(text);
      // One end, said the same in the list of alerts and in the report.
      String end = SpokenTime.near(span.toMs().orElseThrow(), span.last().timeMs(), ZoneOffset.UTC);
      assertThat(span.last().text()).startsWith("Over since " + end);
      assertThat(text).doesNotContain("If nothing changes", "Over since");
      RuleId rule = span.alert().key().rule();
      if (rule.equals(CellHigh.ID) || rule.equals(CellLow.ID)) {
        assertThat(text).contains(Spoken.volts(peakMv(readings, span)), "at its worst at ");
      }
    }
    assertThat(told).isNotEmpty();
  }

  private static double peakMv(NavigableMap<Long, Reading> readings, AlertSpan span) {
    int cell = span.alert().key().cell();
    boolean isHigh = span.alert().key().rule().equals(CellHigh.ID);
    return readings
        .subMap(span.alert().sinceMs(), true, span.toMs().orElseThrow(), true)
        .values()
        .stream()
        .filter(r -> r.cells().has(cell))
        .mapToDouble(r -> r.cells().mv(cell))
        .reduce(isHigh ? Math::max : Math::min)
        .orElseThrow();
  }
}
