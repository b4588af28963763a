package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

/** README.md against the program: cautions, rules, findings. */
class FrontPageTest {
  private static final String README = read(Path.of("README.md"));
  private static final String IN_LINES = README.replaceAll("\n(> )?", " ");

  private static String read(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }

  @Test
  void cautionsStandBeforeTheFirstCommand() {
    String start = IN_LINES.substring(0, IN_LINES.indexOf("```"));

    assertThat(start)
        .contains("Lithium cells store enough energy to burn, and used cells have an unknown")
        .contains("Only trained people with the right protective equipment should open or build")
        .contains("follow the cell maker's sheet, local codes and licensed practice")
        .contains("it does not protect", "Do not leave a first charge alone")
        .contains("Damaged, swollen, punctured, wet or deeply discharged cells are not reused");
  }

  @Test
  void everyRuleStandsOnceInTheTable() {
    List<String> told =
        README
            .lines()
            .filter(line -> line.matches("\\| (critical|warning|note) \\|.*"))
            .flatMap(line -> words(line.substring(1)))
            .toList();

    assertThat(told)
        .containsExactlyInAnyOrderElementsOf(Stream.of(RuleId.values()).map(RuleId::word).toList());
  }

  private static Stream<String> words(String line) {
    return Pattern.compile("`([a-z-]+)`")
        .matcher(line)
        .results()
        .map((MatchResult m) -> m.group(1));
  }

  /** A rule told as a note never wakes anybody; one told as critical may. */
  @Test
  void prioritiesAreThoseOfTheDefaults() {
    AlertSettings settings = AlertSettings.defaults(PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000));
    for (Priority priority : Priority.values()) {
      README
          .lines()
          .filter(line -> line.startsWith("| " + priority.word() + " |"))
          .flatMap(FrontPageTest::words)
          .forEach(
              word ->
                  assertThat(settings.rule(RuleId.ofWord(word).orElseThrow()).priority())
                      .as(word)
                      .isEqualTo(priority));
    }
  }

  @Test
  void everyFindingIsNamed() {
    String line = README.lines().filter(l -> l.startsWith("Findings: ")).findFirst().orElseThrow();

    assertThat(words(line))
        .containsExactlyInAnyOrderElementsOf(
            Stream.of(FindingName.values()).map(FindingName::word).toList());
  }

  /** No text that people read calls anything safe, neither here nor in the program. */
  @Test
  void nothingIsCalledSafe() throws IOException {
    Pattern safe = Pattern.compile("\\bsafe(ly|ty)?\\b", Pattern.CASE_INSENSITIVE);
    Pattern literal = Pattern.compile("\"(?:[^\"\\\\\n]|\\\\.)*\"");
    try (Stream<Path> files =
        Stream.of("README.md", "protocol-specs", "simulators", "src/main", "src/deb")
            .flatMap(FrontPageTest::files)) {
      files
          .filter(file -> !file.toString().endsWith(".so"))
          .forEach(
              file -> {
                String text = read(file);
                Stream<String> shown =
                    file.toString().endsWith(".java")
                        ? literal.matcher(text).results().map(MatchResult::group)
                        : Stream.of(text);
                assertThat(shown).as(file.toString()).noneMatch(s -> safe.matcher(s).find());
              });
    }
  }

  private static Stream<Path> files(String root) {
    try {
      return Files.walk(Path.of(root)).filter(Files::isRegularFile);
    } catch (IOException e) {
      throw new java.io.UncheckedIOException(e);
    }
  }
}
