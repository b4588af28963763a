package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.app.ExitCode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Verbs that make a log. */
class NewLogTest {

  private static final List<String> LINES =
      List.of(
          "simulate first-night --log",
          "backup --db OTHER",
          "gather --store postgresql://herd@127.0.0.1:1/sites --site hill --rebuild-log");

  @TempDir private Path folder;

  /** What lies beside a log that is gone may be all that is left of its readings. */
  @Test
  void whatIsThereOfALogIsNeitherTakenNorRemoved() throws IOException {
    for (String line : LINES) {
      for (String end : List.of("", "-wal", "-tail")) {
        Path left = Files.writeString(folder.resolve("log.db" + end), "of another night");
        String words = line.replace("OTHER", folder.resolve("other.db").toString());

        Said said = Said.by((words + " " + folder.resolve("log.db")).split(" "));

        assertThat(said.code()).as(words).isEqualTo(ExitCode.USAGE);
        assertThat(said.err()).as(words).contains("log.db" + end + ": is there already");
        assertThat(left).as(words).hasContent("of another night");
        Files.delete(left);
        assertThat(folder).as(words).isEmptyDirectory();
      }
    }
  }
}
