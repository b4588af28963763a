package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * {@code read} while {@code run} has the line: answered from the log, without touching the port.
 */
final class ReadBesideRunTest {

  private static final Pattern LINK = Pattern.compile("tcp:127\\.0\\.0\\.1:\\d+");

  @TempDir private Path folder;

  private void config(String link) throws IOException {
    Files.writeString(
        folder.resolve("cellherd.toml"),
        """
        [store]
        file = "log.db"
        at_risk_s = 1
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        [pack.line]
        spec = "sorrel-16"
        link = "%s"
        poll_s = 0.2
        """
            .formatted(link));
  }

  @Test
  void theNewestReadingAndItsAgeComeFromTheLog() throws IOException, InterruptedException {
    try (Program board = Program.start(folder, "simulate", "first-night", "--tcp", "0")) {
      board.awaitText("tcp:127.0.0.1:");
      Matcher link = LINK.matcher(board.text());
      assertThat(link.find()).isTrue();
      config(link.group());
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
}
