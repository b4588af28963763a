package org.cellherd.pack;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

class PlainTextTest {

  /** Unicode's own categories and directions, not our list, say what a terminal may obey. */
  @Test
  void nothingThatATerminalObeysIsLeft() {
    for (int c = 0; c <= Character.MAX_CODE_POINT; c++) {
      int type = Character.getType(c);
      int direction = Character.getDirectionality(c);
      boolean isObeyed =
          type == Character.CONTROL
              || type == Character.LINE_SEPARATOR
              || type == Character.PARAGRAPH_SEPARATOR
              || (direction >= Character.DIRECTIONALITY_LEFT_TO_RIGHT_EMBEDDING
                  && direction <= Character.DIRECTIONALITY_POP_DIRECTIONAL_FORMAT
                  && direction != Character.DIRECTIONALITY_RIGHT_TO_LEFT
                  && type == Character.FORMAT)
              || (direction >= Character.DIRECTIONALITY_LEFT_TO_RIGHT_ISOLATE
                  && direction <= Character.DIRECTIONALITY_POP_DIRECTIONAL_ISOLATE);
      String text = "a" + Character.toString(c) + "b";
      if (isObeyed) {
        assertThat(PlainText.marked(text)).as("U+%04X", c).isEqualTo("a?b");
        assertThat(PlainText.spaced(text)).as("U+%04X", c).isEqualTo("a b");
      }
    }
    assertThat(PlainText.marked("Zelle 3, 3,3 V, 20 \u00b0C, \u96fb\u6c60"))
        .contains("\u96fb\u6c60");
  }

  @Test
  void aLongTextIsCut() {
    assertThat(PlainText.marked("0123456789\n", 10)).isEqualTo("0123456789...");
    assertThat(PlainText.marked("012345678\n", 10)).isEqualTo("012345678?");
  }

  /**
   * Below the wall of {@code toml} there is a copy; a tester's columns are read, not shown; from
   * the broker nothing at all is kept that is not printed.
   */
  @Test
  void textIsCleanedInOnePlace() throws IOException {
    try (Stream<Path> files = Files.walk(Path.of("src/main/java"))) {
      List<String> own =
          files
              .filter(file -> file.toString().endsWith(".java"))
              .filter(PlainTextTest::namesControlCharacters)
              .map(file -> file.getFileName().toString())
              .sorted()
              .toList();
      assertThat(own)
          .containsExactly("AckText.java", "PlainText.java", "TesterColumns.java", "Wording.java");
    }
  }

  private static boolean namesControlCharacters(Path file) {
    try {
      return Files.readString(file).contains("\\p{C");
    } catch (IOException cannot) {
      throw new AssertionError(file.toString(), cannot);
    }
  }
}
