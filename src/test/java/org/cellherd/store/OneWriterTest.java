package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.reading;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Whoever removes the lock file of a log in use, at drawn times: it has one writer all the same.
 */
class OneWriterTest {
  private static final int STEPS = 200;

  @TempDir private Path folder;
  private final List<LogFile> open = new ArrayList<>();
  private final Set<LogFile> stopped = new HashSet<>();
  private long readings;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void theLogHasOneWriterWhateverBecomesOfItsLock(long seed) throws Exception {
    Random random = new Random(seed);
    Path file = folder.resolve("log.db");
    Path lock = folder.resolve("log.db.lock");
    boolean isRemoved = false;
    int refused = 0;
    try {
      for (int step = 0; step < STEPS; step++) {
        String when = "seed " + seed + ", step " + step;
        int what = random.nextInt(6);
        boolean hasEachNoticed = open.size() - stopped.size() <= 1;
        if (what == 0 && hasEachNoticed) {
          isRemoved |= Files.deleteIfExists(lock);
        } else if (what == 1) {
          boolean mayWrite = isRemoved || open.isEmpty();
          assertThat(opened(file)).as(when).isEqualTo(mayWrite);
          isRemoved &= !mayWrite;
        } else if (!open.isEmpty()) {
          LogFile one = open.get(random.nextInt(open.size()));
          boolean isNewest = one == open.get(open.size() - 1);
          assertThat(wrote(one)).as(when).isEqualTo(isNewest);
          isRemoved &= !isNewest;
          refused += isNewest ? 0 : 1;
        }
      }
    } finally {
      for (LogFile log : open) {
        close(log);
      }
    }
    assertThat(refused).isPositive();
    assertThat(count(file)).isEqualTo(readings);
  }

  private boolean opened(Path file) throws StorageFailure {
    try {
      open.add(LogFile.open(file, OpenMode.WRITER));
      return true;
    } catch (StorageFailure e) {
      assertThat(e.kind()).isEqualTo(StorageFailure.Kind.BUSY);
      return false;
    }
  }

  private boolean wrote(LogFile log) throws StorageFailure {
    if (!stopped.contains(log)) {
      log.writer().append("p", reading(T0 + 1000 * readings, 3300));
    }
    try {
      log.writer().commit();
      readings++;
      return true;
    } catch (StorageFailure e) {
      assertThat(e).hasMessageContaining("is written by another cellherd");
      stopped.add(log);
      return false;
    }
  }

  private void close(LogFile log) throws StorageFailure {
    try {
      log.close();
    } catch (StorageFailure e) {
      assertThat(log).isNotSameAs(open.get(open.size() - 1));
    }
  }

  private static long count(Path file) throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      List<LogEntry> all = Logs.all(log, "p");
      return all.stream().filter(Reading.class::isInstance).count();
    }
  }
}
