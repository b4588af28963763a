package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * No bound is rounded to the nearest number: a "7 to 9" that is 6.6 to 9.4 claims what nobody
 * knows. Ways in which a source would do so, whatever it speaks of.
 */
class BoundsTest {

  @ParameterizedTest
  @CsvSource(
      delimiter = '#',
      quoteCharacter = '`',
      textBlock =
          """
          a format rounds both ends # %\\.\\d+f (to|and) %\\.\\d+f
          a format rounds a one-sided bound # (at least|at most|[Mm]ore than|up to|±) %\\.\\d+f
          a word before it tells a bound # (at least|at most|[Mm]ore than|up to) "\\s*\\+\\s*Spoken\\.(number|value|amps)\\((?!Math\\.floor|share\\.nearEmptyA)
          a number stands on both sides of "to" # Spoken\\.number\\([^;]{1,60}" to "\\s*\\+ Spoken\\.number
          a fact is a bound by its name # \\.put\\(\\s*"([a-z0-9_]*_)?(low|high)(_[a-z0-9_]*)?",[^";]*?, \\d\\)
          """)
  void noBoundIsRoundedInward(String how, String pattern) throws IOException {
    List<String> found = new ArrayList<>();
    try (Stream<Path> files = Files.walk(Path.of("src/main/java"))) {
      for (Path file : files.filter(f -> f.toString().endsWith(".java")).toList()) {
        Pattern.compile(pattern)
            .matcher(Files.readString(file))
            .results()
            .map(MatchResult::group)
            .forEach(text -> found.add(file.getFileName() + ": " + text));
      }
    }
    assertThat(found).as(how).isEmpty();
  }
}
