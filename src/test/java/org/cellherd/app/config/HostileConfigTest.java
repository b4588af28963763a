package org.cellherd.app.config;

import static org.assertj.core.api.Assertions.assertThatCode;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.app.Stop;
import org.junit.jupiter.api.Test;

/** Any value at any key of the config gives a config or one list of mistakes. */
final class HostileConfigTest {

  private static final List<String> VALUES =
      List.of(
          "\"\"",
          "\"a\\u0000b\"",
          "\"99:99\"",
          "\"${value.name}${pack.id}\"",
          "\"[::1%zz]:1\"",
          "\"mqtt:broker\"",
          "-1",
          "9223372036854775807",
          "nan",
          "1e308",
          "5e-324",
          "true",
          "[\"\"]",
          "[[]]",
          "{a = 1}",
          "9999-12-31T23:59:59Z",
          "12:00:00");

  /** So many keys apart are changed at once, since all mistakes are told at once. */
  private static final int APART = 2;

  @Test
  void anyValueAtAnyKeyIsReadOrRefusedWithoutAnyOtherException() throws IOException {
    List<String> lines = lines();
    for (String value : VALUES) {
      for (int first = 0; first < APART; first++) {
        String text = changed(lines, first, value);
        assertThatCode(() -> parse(text)).as(text).doesNotThrowAnyException();
      }
    }
  }

  @Test
  void aRootOfVeryManyWordsIsRefused() {
    String text = "[mqtt]\nurl = \"mqtt://broker\"\nroot = \"" + "x/".repeat(40_000) + "\"\n";

    assertThatCode(() -> parse(text)).doesNotThrowAnyException();
  }

  private static String changed(List<String> lines, int first, String value) {
    List<String> changed = new ArrayList<>(lines);
    for (int i = first; i < lines.size(); i += APART) {
      int equals = lines.get(i).indexOf(" = ");
      if (equals > 0 && !lines.get(i).startsWith("#")) {
        changed.set(i, lines.get(i).substring(0, equals) + " = " + value);
      }
    }
    return String.join("\n", changed);
  }

  private static List<String> lines() throws IOException {
    try (var in = HostileConfigTest.class.getResourceAsStream("full.good.toml")) {
      List<String> lines =
          new ArrayList<>(new String(in.readAllBytes(), StandardCharsets.UTF_8).lines().toList());
      lines.replaceAll(line -> line.startsWith("# token_file") ? line.substring(2) : line);
      int mqtt = lines.indexOf("[mqtt]");
      lines.addAll(mqtt + 1, List.of("user = \"u\"", "password_file = \"p\"", "ca_file = \"ca\""));
      return lines;
    }
  }

  private static void parse(String text) {
    try {
      ConfigFiles.parse(Path.of("c.toml"), text);
    } catch (Stop mistakes) {
      // As it should be.
    }
  }
}
