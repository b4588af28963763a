package org.cellherd.store;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.between;
import static org.cellherd.store.Logs.seconds;

import java.nio.file.Files;
import java.util.List;
import org.cellherd.pack.LogEntry;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;

/** Damage and power loss while the log is open or being salvaged. */
class SalvageInUseTest extends DamagedLog {

  @Test
  void damageMetWhileRunningIsSalvagedAndTheReadingsGoOn() throws Exception {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      // Behind the open connection's back, as a failing card would.
      overwritePages(pagesOf("hour"), 40);
      long later = T0 + 40 * HOUR;

      for (int i = 0; i < 12; i++) {
        append(log, "a", seconds(later + i * HOUR, 30));
      }

      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a").size()).isGreaterThanOrEqualTo(12 * 30);
    }
    assertReopensWhole();
  }

  @Test
  void aHoleBeforeTheReadingsThatWaitedInMemoryIsTold() throws Exception {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      long later = T0 + 40 * HOUR;
      for (int i = 0; i < 20; i++) {
        append(log, "a", seconds(later + i * 60_000L, 60));
      }
      // Another's change makes the open connection forget the pages that it remembers.
      sql("UPDATE session SET ended = 0");
      sql("PRAGMA wal_checkpoint(TRUNCATE)");
      overwritePages(pagesOf("recent"), 99);

      append(log, "a", seconds(later + 20 * 60_000, 600));

      assertThat(log.salvage()).isPresent();
      List<LogEntry> found = between(log, "a", later, Long.MAX_VALUE);
      assertThat(found.size()).isBetween(600 + 1, 600 + 20 * 60 - 1);
      assertThat(holes(found)).isEmpty();
    }
  }

  @Test
  void powerLostWhileSalvagingLeavesTheDamagedFileToBeSalvagedAgain() throws Exception {
    leaveOpen();
    overwritePages(pagesOf("block"), 2);
    Files.write(folder.resolve("log.db.salvaging"), new byte[5000]);
    Files.write(folder.resolve("log.db.salvaging-wal"), new byte[50]);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a").size()).isGreaterThan(entries.size() / 2);
    }
    assertThat(folder.resolve("log.db.salvaging")).doesNotExist();
  }

  @Test
  void powerLostWhileTheSalvagedFileTakesItsPlaceLosesNothing() throws Exception {
    byte[] whole = Files.readAllBytes(file);
    for (String left : List.of("", "-wal", "-shm")) {
      Files.deleteIfExists(file);
      Files.write(folder.resolve("log.db.salvaged"), whole);
      Files.write(folder.resolve("log.db" + left), "damaged".getBytes(US_ASCII));

      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(all(log, "a")).as("left: %s", left).hasSameSizeAs(entries);
      }
      assertThat(folder.resolve("log.db.salvaged")).doesNotExist();
    }
    assertThat(folder.resolve("log.db.damaged-1")).hasContent("damaged");
  }
}
