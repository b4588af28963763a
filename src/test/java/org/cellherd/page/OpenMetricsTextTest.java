package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.Tools;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.junit.jupiter.api.Test;

/** The reader that judges our figures is itself judged by the published cases. */
final class OpenMetricsTextTest {

  private static boolean reads(String text) {
    try {
      OpenMetricsText.read(text);
      return true;
    } catch (OpenMetricsText.Wrong wrong) {
      return false;
    }
  }

  @Test
  void allPublishedCasesAreJudgedAsPublished() throws IOException, JsonReader.Problem {
    Path cases = Tools.openData().resolve("standards/openmetrics/parser_cases.jsonl");
    List<String> differing = new ArrayList<>();
    int count = 0;
    for (String line : Files.readAllLines(cases)) {
      JsonValue one = new JsonReader(JsonReader.Limits.MESSAGE).read(line);
      boolean should = one.truth("shouldParse").orElseThrow();
      if (reads(one.text("text").orElseThrow()) != should) {
        differing.add(one.text("name").orElse("") + " should " + should);
      }
      count++;
    }
    assertThat(count).isEqualTo(211);
    assertThat(differing).isEmpty();
  }
}
