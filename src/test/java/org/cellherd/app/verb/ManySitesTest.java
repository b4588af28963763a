package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class ManySitesTest {

  @TempDir private Path folder;

  @Test
  void threeSitesAndAKilledGathererInOneCommand() throws Exception {
    String said = Said.whenDone(List.of("demo", "--many-sites", "--folder", folder.toString()));

    assertThat(said)
        .contains("Everything here is invented", "The database holds all")
        .containsPattern("Gatherer \\d+ is killed; \\d+ takes its part over")
        .containsPattern("no alert  hill/crate[^\\n]*\\n.*cell 3 was 0\\.\\d+ Ah ahead")
        .containsPattern("(?s)critical  shore/crate.*no alert  ridge/crate")
        .contains("  Balanced since 11 Jan 2026")
        .doesNotContain("safe");
    assertThat(Files.readString(folder.resolve("gatherer-2.txt"))).contains("gathering");
  }
}
