package org.cellherd.app.campaign.fault;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/** What a killed run leaves beside the log of another computer that watches a pack so named. */
final class OtherLog {

  /** 2026-01-05T00:00:00Z. */
  private static final long START_MS = 1_767_571_200_000L;

  private static final int MINUTES = 90;

  private OtherLog() {}

  /** Puts one such file in the place of a log's own. */
  static void putBeside(Path log, String ending) throws IOException {
    Path folder = Files.createTempDirectory("other");
    Path other = folder.resolve("log.db");
    try (LogFile file = LogFile.open(other, OpenMode.WRITER)) {
      file.writer().append("crate", new SessionStart(START_MS, 1, true, false));
      for (int minute = 0; minute < MINUTES; minute++) {
        long timeMs = START_MS + minute * 60_000L;
        file.writer()
            .append("crate", Reading.at(timeMs).cells(CellVoltages.ofMv(3300, 3301)).build());
        file.writer().commitIfDue(timeMs);
      }
      Files.copy(
          FileDamage.beside(other, ending),
          FileDamage.beside(log, ending),
          StandardCopyOption.REPLACE_EXISTING);
    } catch (StorageFailure unexpected) {
      throw new IOException(unexpected);
    }
    for (String each : List.of("", "-wal", "-shm", "-tail", ".lock")) {
      Files.deleteIfExists(FileDamage.beside(other, each));
    }
    Files.delete(folder);
  }
}
