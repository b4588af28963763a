package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What the verb says of the copy that it wrote. */
class BackupVerbTest {

  private static final Instant START = Instant.parse("2026-01-10T17:00:00Z");

  @TempDir private Path folder;

  private String file(String name) {
    return folder.resolve(name).toString();
  }

  private void plan(String... packs) throws IOException {
    StringBuilder plan = new StringBuilder("zone = \"UTC\"\n");
    for (String pack : packs) {
      plan.append("[[pack]]\nid = \"%s\"\nchemistry = \"lfp\"\n".formatted(pack))
          .append("series = 2\nparallel = 1\nrated_ah = 27\n");
    }
    Files.writeString(folder.resolve("plan.toml"), plan.toString());
  }

  private void readings(String pack, int count) throws IOException {
    StringBuilder rows = new StringBuilder("time,cell_1_v,cell_2_v\n");
    for (int i = 0; i < count; i++) {
      rows.append("%s,3.3%02d,3.310\n".formatted(START.plusSeconds(60L * i), i % 7));
    }
    Files.writeString(folder.resolve(pack + ".csv"), rows.toString());
    Said.whenDone(
        List.of(
            "import",
            file(pack + ".csv"),
            "--pack",
            pack,
            "--plan",
            file("plan.toml"),
            "--db",
            file("log.db")));
  }

  private String backup() {
    return Said.whenDone(
        List.of("backup", file("copy.db"), "--plan", file("plan.toml"), "--db", file("log.db")));
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void namesReadingsAndTimesOfEachPackInTheCopy(long seed) throws IOException {
    Random random = new Random(seed);
    int crate = 1 + random.nextInt(1_439);
    int shed = 1_441 + random.nextInt(1_000);
    plan("crate", "shed");
    readings("crate", crate);
    readings("shed", shed);

    String said = backup();

    String from = "10 Jan 2026 17:00 to ";
    assertThat(said)
        .contains("Wrote " + file("copy.db"))
        .contains("crate: " + crate + " readings, " + from)
        .contains("shed: " + shed + " readings, " + from);
    int end = 17 * 60 + shed - 1;
    assertThat(said)
        .contains("%d Jan 2026 %02d:%02d".formatted(10 + end / 1440, end % 1440 / 60, end % 60));
  }

  @Test
  void aLogWithoutReadingsIsCalledSo() throws IOException {
    plan("crate");
    readings("crate", 0);

    assertThat(backup()).contains("Wrote " + file("copy.db")).contains("no readings");
  }
}
