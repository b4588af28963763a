package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.OpenMode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Notes go in with the time that they are about, and come out in its order. */
class NoteVerbTest {

  @TempDir private Path folder;

  @BeforeEach
  void writePlanAndLog() throws IOException, StorageFailure {
    Files.writeString(
        folder.resolve("plan.toml"),
        """
        zone = "Asia/Tokyo"
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 6
        rated_ah = 27
        """);
    LogFile.open(folder.resolve("log.db"), OpenMode.WRITER).close();
  }

  private String note(String... more) {
    List<String> words = new ArrayList<>(List.of("note"));
    words.addAll(List.of("--db", folder.resolve("log.db").toString()));
    words.addAll(List.of("--plan", folder.resolve("plan.toml").toString()));
    words.addAll(Arrays.asList(more));
    Said said = Said.by(words.toArray(new String[0]));
    return said.err() + said.out();
  }

  @Test
  void aNoteAboutYesterdayStandsAtYesterday() {
    note("--by", "Anna", "--at", "2026-03-02T10:20", "Charger turned down");
    note("--by", "Ben", "--at", "2026-03-01 09:00:00", "Cell 5 replaced");

    assertThat(note())
        .isEqualTo(
            """
            2026-03-01 09:00:00  Ben: Cell 5 replaced
            2026-03-02 10:20:00  Anna: Charger turned down
            """);
    assertThat(note("--to", "2026-03-02", "--json")).contains("2026-03-01T00:00:00Z", "\"Ben\"");
  }

  @Test
  void thatThereIsNoneIsSaid() {
    assertThat(note()).isEqualTo("No note in this time.\n");
  }
}
