package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Set;
import java.util.regex.MatchResult;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

/** Wherever people read a number of things, one of them is no "1 things". */
class CountedTextTest {

  /** A number, then what is counted: {@code rows + " rows}, {@code "%d rows}. */
  private static final Pattern COUNT =
      Pattern.compile(
          "(?<number>\\w+|\\))\\s*\\+\\s*\""
              + " (?:(?!(?:in|by|at|with|of|that|while|and|has|takes|lets) )[a-z]+"
              + " )?(?<joined>[a-z]+s)\\b|%[,0-9]*d (?:[a-z]+ )?(?<formatted>[a-z]+s)\\b");

  private static final Pattern COMMENT = Pattern.compile("(?s)/\\*.*?\\*/|//[^\n]*");

  /** What is read by whoever called wrongly, or opens a damaged file, is not for users. */
  private static final Pattern FOR_DEVELOPERS =
      Pattern.compile("(?s)(Illegal\\w+Exception|StateMismatch|DamagedBlock)\\([^;]*$");

  /** Constants say themselves whether they are one. */
  private static final Pattern CONSTANT = Pattern.compile("[A-Z][A-Z_0-9]*");

  /** What a cell, a pack or a program does. */
  private static final Set<String> VERBS =
      Set.of(
          "always", "as", "begins", "carries", "closes", "does", "ends", "falls", "has", "holds",
          "is", "lacks", "less", "lets", "lies", "lists", "makes", "ms", "names", "reads", "runs",
          "shows", "stands", "takes", "was", "works");

  /** Bounds, sizes of things, and counts of which one has a sentence of its own. */
  private static final Set<String> NEVER_ONE =
      Set.of(
          "Rfc2217Link.java: ) + \" data bits",
          "Rfc2217Link.java: ) + \" stop bits",
          "SpecOutline.java: ) + \" data bits",
          "Sentences.java: ) + \" different lengths",
          "Verdict.java: ) + \" full charges",
          "LoneValues.java: ) + \" such values",
          "VoltageChecks.java: ) + \" unequal cells",
          "JsonReader.java: ) + \" bytes",
          "JsonReader.java: ) + \" values",
          "CapacityVerb.java: %d discharges",
          "RepeatedLines.java: more + \" times",
          "MorningCall.java: ) + \" alerts",
          "TomlTable.java: columns + \" numbers",
          "FrameWords.java: ) + \" bytes",
          "DatabasePages.java: pageBytes + \" bytes",
          "Stranger.java: length + \" bytes",
          "SavedState.java: length + \" bytes",
          "UnitJudge.java: years + \" years",
          "VoltageChecks.java: ) + \" voltages",
          "BoardFit.java: ) + \" cells");

  @Test
  void everyCountKnowsItsSingular() throws IOException {
    try (Stream<Path> files = Files.walk(Path.of("src/main/java"))) {
      assertThat(
              files.filter(f -> f.toString().endsWith(".java")).flatMap(CountedTextTest::plurals))
          .isEmpty();
    }
  }

  private static Stream<String> plurals(Path file) {
    try {
      String text = COMMENT.matcher(Files.readString(file)).replaceAll("");
      return COUNT
          .matcher(text)
          .results()
          .filter(found -> isPlural(found, text))
          .map(found -> file.getFileName() + ": " + found.group().replaceAll("\\s+", " "))
          .filter(found -> !NEVER_ONE.contains(found));
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  private static boolean isPlural(MatchResult found, String text) {
    String number = found.group(1);
    String what = number == null ? found.group(3) : found.group(2);
    boolean isConstant = number != null && CONSTANT.matcher(number).matches();
    return !isConstant
        && !VERBS.contains(what)
        && !FOR_DEVELOPERS.matcher(text.substring(0, found.start())).find();
  }
}
