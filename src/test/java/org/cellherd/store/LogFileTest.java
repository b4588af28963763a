package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class LogFileTest {

  private static final long T0 = 1_767_225_600_000L;

  @TempDir Path folder;

  @Test
  void entriesComeBackInOrderOfHappening() throws StorageFailure {
    List<LogEntry> entries =
        List.of(
            new SessionStart(T0, 1, false, true),
            reading(T0, 3300),
            reading(T0 + 1000, 3301),
            new Gap(T0 + 1000, T0 + 9000, Gap.Cause.NO_BYTES),
            reading(T0 + 9000, 3302),
            new ClockStep(T0 + 10_000, T0 - 50_000),
            reading(T0 - 49_000, 3303),
            reading(T0 + 7_200_000, 3304));
    Path file = folder.resolve("log.db");

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      entries.forEach(entry -> log.writer().append("a", entry));
      log.writer().commit();
      assertThat(replayed(log, "a")).isEqualTo(entries);
      log.writer().commit();
      log.writer().commit();
    }

    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      assertThat(replayed(log, "a")).isEqualTo(entries);
    }
  }

  private static List<LogEntry> replayed(LogFile log, String pack) throws StorageFailure {
    List<LogEntry> entries = new ArrayList<>();
    log.history().replay(pack, Long.MIN_VALUE, Long.MAX_VALUE, entries::add);
    return entries;
  }

  private static Reading reading(long timeMs, int mv) {
    return Reading.at(timeMs).cells(CellVoltages.ofMv(mv, mv + 1)).currentMa(-500).build();
  }
}
