package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.SessionStart.Before;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Where the log of a pack begins and ends, as another process sees it while it is written. */
class EndsOfLogTest {

  private static final List<String> PACKS = List.of("crate", "shed");

  @TempDir private Path folder;

  /** The newest half hour is in the tail, which no table knows of: a replay does. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void areThoseOfWhatAReplayGivesWheneverOneLooks(long seed) throws Exception {
    Path path = folder.resolve("log.db");
    Random random = new Random(seed);
    int looks = 0;
    int tailed = 0;
    try (LogFile log = LogFile.open(path, OpenMode.WRITER)) {
      long nowMs = Logs.T0;
      for (String pack : PACKS) {
        log.writer().append(pack, new SessionStart(nowMs, 1, true, Before.ENDED));
      }
      for (int step = 0; step < 600; step++) {
        nowMs += 1_000 + random.nextInt(random.nextInt(50) == 0 ? 400_000 : 9_000);
        String pack = PACKS.get(random.nextInt(3) / 2);
        log.writer().append(pack, entry(random, nowMs));
        log.writer().commitIfDue(nowMs);
        if (random.nextInt(12) == 0) {
          looks++;
          tailed += Files.exists(path.resolveSibling("log.db-tail")) ? 1 : 0;
          look(path, "seed " + seed + ", step " + step);
        }
      }
    }
    assertThat(looks).isGreaterThan(20);
    assertThat(tailed).isGreaterThan(10);
  }

  private static LogEntry entry(Random random, long nowMs) {
    return random.nextInt(90) == 0
        ? new Gap(nowMs - 900, nowMs, Gap.Cause.NO_BYTES)
        : Logs.reading(nowMs, 3300 + random.nextInt(9));
  }

  private static void look(Path path, String where) throws Exception {
    try (LogFile reader = LogFile.open(path, OpenMode.READER)) {
      for (String pack : PACKS) {
        List<LogEntry> all = Logs.all(reader, pack);
        assertThat(reader.newestMs(pack).stream().boxed())
            .as(where + ", newest of " + pack)
            .containsExactlyElementsOf(
                all.stream().map(EndsOfLogTest::endMs).max(Long::compare).stream().toList());
        assertThat(reader.oldestMs(pack).stream().boxed())
            .as(where + ", oldest of " + pack)
            .containsExactlyElementsOf(
                all.stream()
                    .filter(Reading.class::isInstance)
                    .map(LogEntry::timeMs)
                    .min(Long::compare)
                    .stream()
                    .toList());
      }
    }
  }

  private static long endMs(LogEntry entry) {
    return entry instanceof Gap gap ? gap.toMs() : entry.timeMs();
  }
}
