package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** A simulated log is the one that watching would have given, its silences too. */
class SimulatedLogTest {

  @TempDir private Path folder;

  /** The night begins at 17:00 UTC; the board is not heard from 19:00 to 20:00. */
  @ParameterizedTest
  @ValueSource(strings = {"silent", "unplugged", "brown-out"})
  void whileNothingIsHeardTheLogHoldsNothing(String fault) throws IOException {
    String night =
        Scenarios.text("first-night")
                .orElseThrow()
                .replaceFirst("\nhours = \\S+", "\nhours = 5")
                .replaceFirst("\npoll_s = \\S+", "\npoll_s = 10")
            + "\n[[fault]]\nkind = \""
            + fault
            + "\"\nat_h = 2\nfor_h = 1\n";
    Path scenario = Files.writeString(folder.resolve("night.toml"), night);
    String log = folder.resolve("log.db").toString();

    Said.whenDone(List.of("simulate", scenario.toString(), "--log", log));

    String plan = folder.resolve("log.toml").toString();
    List<String> where = List.of("--db", log, "--plan", plan, "--from", "2026-01-01");
    String rows = folder.resolve("rows.csv").toString();
    Said.whenDone(words(List.of("export"), where, List.of(rows)));
    assertThat(Files.readString(Path.of(rows)))
        .contains("T18:59:", "T20:00:")
        .doesNotContain("T19:");
    Path report = folder.resolve("report.txt");
    Said.whenDone(words(List.of("report"), where, List.of(report.toString())));
    assertThat(report).content().contains("80.0 %");
  }

  /** Each of these does harm; what the limit is, and which cell, stands in the scenario. */
  @ParameterizedTest
  @CsvSource({"runaway, cell-high", "over-discharge, cell-low", "cold-charge, cold-charge"})
  void itsAlertsAreThoseThatWatchingGives(String scenario, String rule) {
    String log = folder.resolve("log.db").toString();
    Said.whenDone(List.of("simulate", scenario, "--log", log));

    String plan = folder.resolve("log.toml").toString();
    List<String> all = List.of("alerts", "--db", log, "--plan", plan, "--all", "--rule", rule);
    assertThat(Said.whenDone(all)).contains(rule);
  }

  private static List<String> words(List<String> verb, List<String> where, List<String> more) {
    return Stream.of(verb, where, more).flatMap(List::stream).toList();
  }

  @Test
  void aScenariosMistypedNameIsSuggested() {
    for (String verb : List.of("simulate --tcp 0", "demo --scenario")) {
      Said said = Said.by((verb + " first-nihgt").split(" "));

      assertThat(said.code()).isEqualTo(2);
      assertThat(said.err()).contains("no scenario \"first-nihgt\", did you mean first-night?");
    }
  }
}
