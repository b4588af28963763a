package org.cellherd.store;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;

/** What several tests of the store do with a log. */
final class Logs {
  /** Thursday, 2026-01-01 00:00 UTC. */
  static final long T0 = 1_767_225_600_000L;

  static final long HOUR = 3_600_000L;

  private Logs() {}

  /** Everything committed of a pack. */
  static List<LogEntry> all(LogFile log, String pack) throws StorageFailure {
    return between(log, pack, Long.MIN_VALUE, Long.MAX_VALUE);
  }

  static List<LogEntry> between(LogFile log, String pack, long fromMs, long toMs)
      throws StorageFailure {
    List<LogEntry> entries = new ArrayList<>();
    log.history().replay(pack, fromMs, toMs, entries::add);
    return entries;
  }

  static Reading reading(long timeMs, int mv) {
    return Reading.at(timeMs).cells(CellVoltages.ofMv(mv, mv + 1)).currentMa(-500).build();
  }

  /** Readings each second. */
  static List<Reading> seconds(long startMs, int count) {
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < count; i++) {
      readings.add(reading(startMs + i * 1000L, 3300 + i % 7));
    }
    return readings;
  }

  /** Appends, and commits every quarter of an hour of the entries' own time. */
  static void append(LogFile log, String pack, List<? extends LogEntry> entries)
      throws StorageFailure {
    long committed = Long.MIN_VALUE;
    for (LogEntry entry : entries) {
      log.writer().append(pack, entry);
      if (Math.abs(entry.timeMs() - committed) >= 1_000_000) {
        log.writer().commit();
        committed = entry.timeMs();
      }
    }
    log.writer().commit();
  }
}
