package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.junit.jupiter.api.Test;

class CsvLinesTest {

  private static final int MOST = ReadingCsv.LONGEST_LINE + 1;

  @Test
  void linesAreSplitAsByHandAndLongOnesCut() throws Exception {
    for (int seed = 0; seed < 300; seed++) {
      Random random = new Random(seed);
      StringBuilder text = new StringBuilder();
      for (int i = random.nextInt(6); i > 0; i--) {
        int length = random.nextInt(4) == 0 ? random.nextInt(60_000) : random.nextInt(30);
        text.append("\u00e4x".repeat(length)).append(random.nextInt(9) == 0 ? "" : "\n");
      }
      List<String> right = new ArrayList<>(List.of(text.toString().split("\n", -1)));
      if (right.get(right.size() - 1).isEmpty()) {
        right.remove(right.size() - 1);
      }
      right.replaceAll(l -> l.substring(0, Math.min(MOST, l.length())));

      CsvLines lines =
          new CsvLines(new ByteArrayInputStream(text.toString().getBytes(StandardCharsets.UTF_8)));
      List<String> found = new ArrayList<>();
      for (Optional<String> l = lines.next(); l.isPresent(); l = lines.next()) {
        found.add(l.get());
      }

      assertThat(found).as("seed %d", seed).isEqualTo(right);
    }
  }

  @Test
  void aLineWithoutEndIsGivenUpAtOnce() throws Exception {
    CsvLines lines =
        new CsvLines(
            new InputStream() {
              @Override
              public int read() {
                return 0;
              }
            });

    assertThat(lines.next().orElseThrow()).hasSize(MOST);
  }
}
