package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Sentences at their source: the words of the trade, not those of this code. */
class PlainWordsTest {
  private static final Pattern LITERAL = Pattern.compile("\"(?:[^\"\\\\\n]|\\\\.)*\"");

  /** What people say otherwise: reported, repeated, check, reduce the load, at 5 A, period. */
  private static final Pattern ODD =
      Pattern.compile(
          "\\b(told|tells?|believes?|stands(?! out)|[Ll]ook (whether|which)|[Ll]oad off|watched on"
              + "|stretch|without order|[Cc]harged with|heard of|no cell told)\\b");

  /** The same for all that people read; SQL has names of its own. */
  private static final Pattern ODD_ANYWHERE =
      Pattern.compile("\\b(told(?! apart)|tells|stands(?! out| for)|stretch(es)?)\\b");

  private static final Pattern SQL = Pattern.compile("/(store|fleet)/");

  @Test
  void noSentenceUsesTheWordsOfTheCode() throws IOException {
    assertThat(sentences(Path.of("src/main/java/org/cellherd/alert"), ODD)).isEmpty();
    assertThat(sentences(Path.of("src/main/java/org/cellherd"), ODD_ANYWHERE)).isEmpty();
  }

  private static List<String> sentences(Path folder, Pattern odd) throws IOException {
    try (Stream<Path> files = Files.walk(folder)) {
      return files
          .filter(file -> file.toString().endsWith(".java"))
          .filter(file -> !SQL.matcher(file.toString()).find())
          .flatMap(PlainWordsTest::literals)
          .filter(literal -> literal.contains(" "))
          .filter(literal -> odd.matcher(literal).find())
          .toList();
    }
  }

  private static Stream<String> literals(Path file) {
    try {
      return LITERAL
          .matcher(Files.readString(file))
          .results()
          .map(MatchResult::group)
          .toList()
          .stream();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }
}
