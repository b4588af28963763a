package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Many packs that all finish an hour at once: packed over some commits, written in one. */
class ManyPacksTest {
  private static final int PACKS = 12;
  private static final long HOUR_MS = 3_600_000;

  /** 2026-01-01 00:00 UTC. */
  private static final long T0 = 1_767_225_600_000L;

  @TempDir private Path folder;
  private final List<List<Reading>> days = new ArrayList<>();

  private LogFile open(String name) throws StorageFailure {
    return LogFile.open(folder.resolve(name), OpenMode.WRITER);
  }

  /** Readings of all packs each 30 s, in turn, committed as a run commits them. */
  private void write(LogFile log, long fromMs, long toMs) throws StorageFailure {
    for (long timeMs = fromMs; timeMs < toMs; timeMs += 30_000) {
      for (int pack = 0; pack < PACKS; pack++) {
        Reading next = days.get(pack).get((int) ((timeMs - T0) / 1000)).atTime(timeMs);
        log.writer().append("pack-" + pack, next);
      }
      log.writer().commitIfDue(timeMs);
      log.writer().commitIfDue(timeMs + 10_000);
    }
  }

  private void draw(int seconds) {
    for (int pack = 0; pack < PACKS; pack++) {
      days.add(new StorageDay(true, pack).readings(T0, 0, seconds));
    }
  }

  private static List<LogEntry> all(LogFile log, int pack) throws StorageFailure {
    List<LogEntry> entries = new ArrayList<>();
    log.history().replay("pack-" + pack, Long.MIN_VALUE, Long.MAX_VALUE, entries::add);
    return entries;
  }

  private List<Reading> written(int pack, long toMs) {
    return days.get(pack).stream()
        .filter(r -> r.timeMs() % 30_000 == 0 && r.timeMs() < toMs)
        .toList();
  }

  @Test
  void allAreReadWhereverTheRunEndsWhilePacking() throws Exception {
    long seed = 20_261_128;
    System.out.println("seed " + seed);
    Random random = new Random(seed);
    draw(4 * 3600);
    for (int trial = 0; trial < 6; trial++) {
      long endMs = T0 + HOUR_MS + 30_000L * (1 + random.nextInt(12));
      Path copy = folder.resolve("copy-" + trial);
      try (LogFile log = open("log-" + trial)) {
        write(log, T0, endMs);
        for (String ending : List.of("", "-wal", "-tail")) {
          Files.copy(folder.resolve("log-" + trial + ending), Path.of(copy + ending));
        }
      }
      try (LogFile killed = open("copy-" + trial)) {
        for (int pack = 0; pack < PACKS; pack++) {
          assertThat(all(killed, pack))
              .as("seed %d, pack %d, killed at %d s", seed, pack, (endMs - T0) / 1000)
              .isEqualTo(written(pack, endMs));
        }
        write(killed, endMs, T0 + 3 * HOUR_MS + 600_000);
        for (int pack = 0; pack < PACKS; pack++) {
          assertThat(all(killed, pack)).isEqualTo(written(pack, T0 + 3 * HOUR_MS + 600_000));
        }
      }
    }
  }
}
