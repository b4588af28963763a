package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * {@code read} while {@code run} has the line: answered from the log, without touching the port.
 */
final class ReadBesideRunTest {

  @TempDir private Path folder;

  @Test
  void theNewestReadingAndItsAgeComeFromTheLog() throws IOException, InterruptedException {
    try (Program board = OneBoard.start(folder, "first-night")) {
      OneBoard.config(folder, OneBoard.link(board), "");
      try (Program daemon = Program.start(folder, "run")) {
        Program.until(
            () -> Files.exists(folder.resolve("log.db-tail")), "the first readings to be stored");
        Program.Ended words = Program.run(folder, "read");
        Program.Ended json = Program.run(folder, "read", "--json");

        assertThat(words.code()).as(words.text()).isZero();
        assertThat(words.text())
            .containsPattern("From the log, \\d+ s old: cellherd run holds tcp:127")
            .contains("3.");
        assertThat(json.text()).contains("\"source\": \"log\"", "\"age_s\": ", "\"cell_1_v\": 3.");
        assertThat(daemon.terminate()).isEqualTo(143);
      }
      assertThat(Program.run(folder, "read").text()).doesNotContain("From the log");
    }
  }

  @Test
  void aLinkNamedByHandSaysWhoWatchesItsBoard() throws IOException, InterruptedException {
    try (Program board = OneBoard.start(folder, "first-night")) {
      String link = OneBoard.link(board);
      OneBoard.config(folder, link, "");
      try (Program daemon = Program.start(folder, "run")) {
        Program.until(
            () -> Files.exists(folder.resolve("log.db-tail")), "the first readings to be stored");
        Program.Ended read = Program.run(folder, "read", "--link", link, "--spec", "sorrel-16");

        assertThat(read.code()).as(read.text()).isEqualTo(3);
        assertThat(read.text())
            .contains("cellherd run watches this board; \"cellherd read\" without --link shows");
        assertThat(daemon.terminate()).isEqualTo(143);
      }
    }
  }
}
