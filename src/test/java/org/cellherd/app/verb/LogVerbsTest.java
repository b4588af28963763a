package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.app.ExitCode;
import org.cellherd.pack.Facts;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** The analysis verbs over five days of a simulated season, imported from CSV. */
class LogVerbsTest {
  private static final String PLAN =
      """
      [[pack]]
      id = "shed"
      chemistry = "lfp"
      series = 16
      parallel = 1
      rated_ah = 100
      charge_mv = 55_600
      sensors = ["cell", "cell", "switch"]
      [pack.board]
      name = "invented board"
      bleed_ma = 100
      bleed_from_mv = 3420
      """;

  @TempDir private static Path folder;

  @BeforeAll
  static void aSeasonIsImported() throws IOException {
    String text =
        Scenarios.text("offgrid-season")
            .orElseThrow()
            .replace("hours = 2160", "hours = 120")
            .replace("poll_s = 10", "poll_s = 60");
    Scenario season = Scenario.read("season.toml", text, new Problems()).orElseThrow();
    Files.writeString(folder.resolve("plan.toml"), PLAN);
    Files.write(
        folder.resolve("season.csv"),
        ScenarioCsv.lines(
            season, 16, ",temp_1_c,temp_2_c,temp_3_c,bleed_mask,charge_switch,discharge_switch"));

    String said = run("import", folder.resolve("season.csv").toString());

    assertThat(said).contains("7201 readings stored");
  }

  private static String run(String verb, String... more) {
    return runOn("log.db", verb, more);
  }

  private static String runOn(String log, String verb, String... more) {
    List<String> args = new ArrayList<>(List.of(verb, "--plan", file("plan.toml")));
    args.addAll(List.of("--db", file(log)));
    args.addAll(List.of(more));
    return Said.whenDone(args);
  }

  private static String file(String name) {
    return folder.resolve(name).toString();
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "capacity|No full discharge was found in the log.",
        "balance|Not at the top; at the last top, 25 Sep 2026",
        "resistance|readings 10 s apart or closer",
        "rest|No rest of some days was found in the log.",
        "energy|28 Sep 2026  1.",
        "ageing|equivalent full cycles so far",
      })
  void eachVerbAnswersInASentence(String verb, String expected) {
    assertThat(run(verb)).contains(expected).doesNotContain("NaN", "null", "Optional");
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "balance|\"last_top\"",
        "energy|\"beyond_zone_minutes\"",
        "ageing|\"equivalent_full_cycles\"",
      })
  void eachVerbAnswersInJson(String verb, String expected) {
    assertThat(run(verb, "--json")).contains(expected);
  }

  @Test
  void daysOfAStretchAreThoseOfTheWholeLog() {
    List<String> all = days(run("energy", "--json"));
    List<String> some = days(run("energy", "--from", "2026-09-26", "--to", "2026-09-29", "--json"));

    assertThat(some).hasSize(3).isEqualTo(all.subList(1, 4));
  }

  /** The last reading of an interval stands for all of them, which the current is not. */
  @ParameterizedTest
  @CsvSource({"5min --last, true", "7min --last, true", "60s --last, false", "5min, false"})
  void anExportThatLosesWhatTheCurrentDidSaysSo(String every, boolean says) throws IOException {
    List<String> words = new ArrayList<>(List.of("export", "--plan", file("plan.toml")));
    words.addAll(List.of("--db", file("log.db"), file("thin.csv"), "--every"));
    words.addAll(List.of(every.split(" ")));
    Said said = Said.by(words.toArray(new String[0]));

    long rows = Files.readAllLines(folder.resolve("thin.csv")).size() - 1L;
    assertThat(said.code()).isZero();
    if (says) {
      assertThat(said.err()).contains((7201 - rows) + " readings left out between the rows");
    } else {
      assertThat(said.err()).isEmpty();
    }
  }

  private static List<String> days(String json) {
    return Pattern.compile("\"day\": .*\\s.*\\s.*")
        .matcher(json)
        .results()
        .map(MatchResult::group)
        .toList();
  }

  /** What is told of an earlier end is what a log that ends there tells. */
  @ParameterizedTest
  @ValueSource(strings = {"balance", "ageing"})
  void anEarlierEndIsToldAsIfTheLogEndedThere(String verb) throws IOException {
    List<String> rows = Files.readAllLines(folder.resolve("season.csv"));
    int end =
        rows.indexOf(
            rows.stream()
                .filter(r -> r.startsWith("2026-09-28T06:30:00"))
                .findFirst()
                .orElseThrow());
    Files.write(folder.resolve("begun.csv"), rows.subList(0, end));
    runOn("begun.db", "import", file("begun.csv"));

    String told = run(verb, "--from", "2026-09-27", "--to", "2026-09-28T06:30Z", "--json");

    assertThat(told).isEqualTo(runOn("begun.db", verb, "--json"));
  }

  /** A running log keeps what stands each hour: only the newest of it is an answer. */
  @Test
  void whatStoodAtEarlierHoursIsNotToldAgain() throws Exception {
    runOn("hourly.db", "import", file("season.csv"));
    try (LogFile log = LogFile.open(folder.resolve("hourly.db"), OpenMode.WRITER)) {
      for (int hour = 0; hour < 5; hour++) {
        long at = Instant.parse("2026-09-26T10:00:00Z").toEpochMilli() + hour * 3_600_000L;
        log.writer()
            .save("shed", ResultForm.finding(FindingName.BALANCE, at, at, Facts.NONE, "Earlier."));
        log.writer().commit();
      }
    }

    assertThat(runOn("hourly.db", "balance"))
        .isEqualTo(run("balance"))
        .containsOnlyOnce("at the last top");
  }

  @Test
  void anEndingThatNoReportHasIsRefusedBeforeAnythingIsWritten() {
    Said said =
        Said.by("report", "--plan", file("plan.toml"), "--db", file("log.db"), file("night.pdf"));

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains("night.pdf: the name must end in .html, .txt, .svg or");
    assertThat(folder.resolve("night.pdf")).doesNotExist();
  }

  /** An import is judged by nobody: that no alert came says nothing of the pack. */
  @ParameterizedTest
  @ValueSource(strings = {"txt", "html"})
  void aReportOfWhatWasImportedDoesNotPraiseTheAbsenceOfAlerts(String ending) throws IOException {
    run("report", file("report." + ending));

    assertThat(Files.readString(folder.resolve("report." + ending)))
        .contains("No alert is in the log; those of imported readings are judged by")
        .doesNotContain("No alert was raised", "No alerts were judged");
  }
}
