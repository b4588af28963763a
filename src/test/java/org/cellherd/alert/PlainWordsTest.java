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

/** Sentences of alerts at their source: the words of the trade, not those of this code. */
class PlainWordsTest {
  private static final Pattern LITERAL = Pattern.compile("\"(?:[^\"\\\\\n]|\\\\.)*\"");

  /** What people say otherwise: reported, repeated, check, reduce the load, at 5 A, period. */
  private static final Pattern ODD =
      Pattern.compile(
          "\\b(told|tells?|believes?|stands(?! out)|[Ll]ook (whether|which)|[Ll]oad off|watched on"
              + "|stretch|without order|[Cc]harged with|heard of|no cell told)\\b");

  @Test
  void noSentenceUsesTheWordsOfTheCode() throws IOException {
    try (Stream<Path> files = Files.walk(Path.of("src/main/java/org/cellherd/alert"))) {
      List<String> odd =
          files
              .filter(file -> file.toString().endsWith(".java"))
              .flatMap(PlainWordsTest::literals)
              .filter(literal -> literal.contains(" "))
              .filter(literal -> ODD.matcher(literal).find())
              .toList();

      assertThat(odd).isEmpty();
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
