package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A log that was written by a wrong clock says after re-dating what a right one says. */
class RedateVerbTest {

  private static final Duration WRONG = Duration.ofMinutes(26 * 60 + 30);

  @TempDir private static Path made;

  @TempDir private Path folder;

  @BeforeAll
  static void twoLogsOfOneNightOneByAWrongClock() throws Exception {
    said("simulate", "healthy-night", "--log", made("night.db"));
    said(
        "export",
        "--db",
        made("night.db"),
        "--plan",
        made("night.toml"),
        "--every",
        "1min",
        made("right.csv"));
    List<String> rows = Files.readAllLines(Path.of(made("right.csv")));
    List<String> later = new ArrayList<>(List.of(rows.get(0)));
    for (String row : rows.subList(1, rows.size())) {
      int comma = row.indexOf(',');
      later.add(Instant.parse(row.substring(0, comma)).plus(WRONG) + row.substring(comma));
    }
    Files.write(Path.of(made("wrong.csv")), later);
    for (String name : List.of("right", "wrong")) {
      said(
          "import",
          "--judge",
          "--db",
          made(name + ".db"),
          "--plan",
          made("night.toml"),
          made(name + ".csv"));
    }
  }

  @BeforeEach
  void copied() throws IOException {
    for (String name : List.of("night.toml", "right.db", "wrong.db")) {
      Files.copy(made.resolve(name), folder.resolve(name));
    }
  }

  @Test
  void everyAnswerIsThatOfALogThatWasRightFromTheBeginning() {
    assertThat(answers("wrong")).isNotEqualTo(answers("right"));

    String trial = of("wrong", "redate", "--period", "1", "--by", "-26h30min");
    assertThat(trial).contains("1 day 2 h 30 min earlier", "Nothing was changed");
    assertThat(answers("wrong")).isNotEqualTo(answers("right"));
    of("wrong", "redate", "--from", "2000-01-01", "--by", "-26h30min", "--write", "--who", "Ben");

    assertThat(answers("wrong")).isEqualTo(answers("right"));
    assertThat(of("wrong", "redate")).contains("by Ben: ", "1 day 2 h 30 min earlier");
  }

  @Test
  void theTrueTimeOfTheFirstReadingIsEnough() {
    String first =
        of("right", "redate", "--json")
            .lines()
            .filter(l -> l.contains("\"from\""))
            .findFirst()
            .orElseThrow()
            .replaceAll(".*: \"|\",?", "");

    of("wrong", "redate", "--period", "1", "--first", first, "--write");

    assertThat(answers("wrong")).isEqualTo(answers("right"));
  }

  @Test
  void whatIsNotMeantOrDoesNotFitIsRefused() {
    for (String line :
        List.of(
            "--by 1h",
            "--period 1",
            "--write",
            "--period 7 --by 1h",
            "--period 1 --by 0s",
            "--period 1 --by 90000d",
            "--period 1 --by 1h --first 2026-01-01",
            "--period 1 --from 2026-01-01 --by 1h",
            "--from 1999-01-01 --to 1999-02-01 --by 1h")) {
      List<String> words = words("right", "redate", line.split(" "));
      Said said = Said.by(words.toArray(new String[0]));
      assertThat(said.code()).as(line).isEqualTo(2);
      assertThat(said.err()).as(line).isNotBlank();
    }
  }

  private String answers(String log) {
    StringBuilder all = new StringBuilder();
    for (String verb : List.of("energy", "capacity", "balance", "resistance", "rest", "ageing")) {
      all.append(of(log, verb, "--json"));
    }
    all.append(of(log, "alerts", "--all", "--json"));
    all.append(of(log, "export", "--every", "1h"));
    return all.toString();
  }

  private String of(String log, String verb, String... more) {
    return Said.whenDone(words(log, verb, more));
  }

  private List<String> words(String log, String verb, String... more) {
    List<String> words = new ArrayList<>();
    words.addAll(List.of(verb, "--db", file(log + ".db"), "--plan", file("night.toml")));
    words.addAll(Arrays.asList(more));
    return words;
  }

  private static void said(String... words) {
    Said.whenDone(List.of(words));
  }

  private static String made(String name) {
    return made.resolve(name).toString();
  }

  private String file(String name) {
    return folder.resolve(name).toString();
  }
}
