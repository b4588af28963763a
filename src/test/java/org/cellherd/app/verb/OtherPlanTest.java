package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A log whose saved results do not fit the question is read anew, and that is said. */
final class OtherPlanTest {

  private static final int STEP_S = 600;

  @TempDir private Path folder;

  /** Rated otherwise, by a plan that was corrected: what was saved rests on the old one. */
  @ParameterizedTest
  @CsvSource({"9,100,false", "9,90,true", "5,90,false"})
  void whoWaitsForALongLogIsToldWhy(int days, int ratedAh, boolean isTold) throws IOException {
    List<String> lines = new ArrayList<>(List.of("time,current_a,cell_1_v,cell_2_v"));
    Instant time = Instant.parse("2026-03-01T10:00:00Z");
    for (int n = 0; n < days * 86_400 / STEP_S; n++) {
      lines.add(time.plusSeconds((long) n * STEP_S) + ",0,3.300,3.301");
    }
    Path readings = Files.write(folder.resolve("days.csv"), lines);
    ask(plan(100), "import", readings.toString());

    String said = ask(plan(ratedAh), "balance");

    assertThat(said.contains("reading the whole log again")).isEqualTo(isTold);
  }

  private Path plan(int ratedAh) throws IOException {
    return Files.writeString(
        folder.resolve("plan.toml"),
        "[[pack]]\nid = \"crate\"\nchemistry = \"lfp\"\nseries = 2\nparallel = 1\nrated_ah = "
            + ratedAh
            + "\n");
  }

  /** What it says on standard error. */
  private String ask(Path plan, String... words) {
    List<String> all = new ArrayList<>(List.of(words));
    all.addAll(List.of("--plan", plan.toString(), "--db", folder.resolve("log.db").toString()));
    ByteArrayOutputStream said = new ByteArrayOutputStream();
    PrintStream usual = System.err;
    System.setErr(new PrintStream(said, true, StandardCharsets.UTF_8));
    try {
      Said.whenDone(all);
    } finally {
      System.setErr(usual);
    }
    return said.toString(StandardCharsets.UTF_8);
  }
}
