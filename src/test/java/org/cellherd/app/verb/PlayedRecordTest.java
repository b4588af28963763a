package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A record that is played leaves nothing out without a word. */
class PlayedRecordTest {

  @TempDir private Path folder;

  @Test
  void rowsThatAreNotPlayedAreNamedWithTheirLines() throws IOException {
    Path rows =
        Files.writeString(
            folder.resolve("rows.csv"),
            """
            time,cell_1_v,cell_2_v,cell_3_v,cell_4_v
            2026-01-10T17:00:00Z,3.300,3.301,3.302,3.303
            2026-01-10T17:00:01Z,3.300,much,3.302,3.303
            2026-01-10T16:59:00Z,3.300,3.301,3.302,3.303
            2026-01-10T17:00:02Z,3.300,3.301,3.302,3.303
            """);

    Said said =
        Said.by(
            "simulate",
            "--record",
            rows.toString(),
            "--spec",
            "sorrel-16",
            "--tcp",
            "0",
            "--speed",
            "1000000");

    assertThat(said.code()).isZero();
    assertThat(said.err()).contains("Left out of the record:", "rows.csv:3", "rows.csv:4");
    assertThat(said.err()).doesNotContain("rows.csv:2", "rows.csv:5");
  }
}
