package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.JavaCommand;
import org.cellherd.Tools;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What a person sees on a terminal of 80 columns, and what a program gets behind a pipe. */
class TerminalTest {

  @TempDir private static Path folder;

  @BeforeAll
  static void aTestIsSimulated() throws IOException {
    String text =
        Scenarios.text("capacity-test").orElseThrow().replaceFirst("poll_s = \\d+", "poll_s = 30");
    Path scenario = Files.writeString(folder.resolve("test.toml"), text);
    assertThat(Scenario.read("test.toml", text, new Problems())).isPresent();
    Said.whenDone(List.of("simulate", scenario.toString(), "--log", file("log.db")));
  }

  private static String file(String name) {
    return folder.resolve(name).toString();
  }

  private static List<String> words(String verb, String... more) {
    List<String> words =
        new ArrayList<>(List.of(verb, "--db", file("log.db"), "--plan", file("log.toml")));
    words.addAll(List.of(more));
    return words;
  }

  /** As a process, whose standard output is a terminal. */
  private static String onTerminal(List<String> words) throws Exception {
    Tools.require("script");
    List<String> java = JavaCommand.of(JavaCommand.SHORT, Main.class.getName());
    java.addAll(words);
    Process process =
        new ProcessBuilder("script", "-qefc", String.join(" ", java), "/dev/null").start();
    process.getOutputStream().close();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertThat(process.waitFor()).as(said).isZero();
    return said.replace("\r\n", "\n");
  }

  /** A terminal breaks a long line anywhere, also within a number. */
  @ParameterizedTest
  @ValueSource(strings = {"capacity", "resistance", "label", "setpoints"})
  void sentencesAreBrokenBetweenWords(String verb) throws Exception {
    String piped = Said.whenDone(words(verb));
    String shown = onTerminal(words(verb));

    assertThat(piped.lines().mapToInt(String::length).max().orElse(0)).isGreaterThan(80);
    assertThat(shown.lines()).allSatisfy(line -> assertThat(line).hasSizeLessThanOrEqualTo(80));
    assertThat(shown.lines()).containsAll(piped.lines().filter(l -> l.length() <= 80).toList());
    assertThat(shown.strip().split("\\s+")).containsExactly(piped.strip().split("\\s+"));
  }

  /** Two tests beside each other are one before and one after. */
  @Test
  void eachTestHasItsDay() {
    assertThat(Said.whenDone(words("capacity")).lines().limit(2))
        .allSatisfy(line -> assertThat(line).matches("2[01] Jun 2026  [0-9.]+ Ah .*"));
  }

  /** A break within a text would be no JSON any more. */
  @Test
  void jsonIsNeverBroken() throws Exception {
    String shown = onTerminal(words("capacity", "--json"));

    assertThat(shown).isEqualTo(Said.whenDone(words("capacity", "--json")).replace("\r\n", "\n"));
  }

  /** Whose clock shows the times is said once, and only where there are times. */
  @Test
  void theZoneOfTheTimesIsSaidOnce() {
    String balance = Said.whenDone(words("balance"));

    assertThat(balance).containsPattern("\\d\\d:\\d\\d").containsOnlyOnce("+01:00");
    assertThat(Said.whenDone(words("resistance"))).doesNotContain("+01:00");
    Said.whenDone(words("report", file("r.txt")));
    assertThat(folder.resolve("r.txt")).content().containsOnlyOnce("+01:00");
  }
}
