package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.reading;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A log whose name in the config is a symbolic link, such as to a larger disk. */
class LinkedLogTest {

  @TempDir private Path folder;
  private Path named;
  private Path real;

  @BeforeEach
  void twoFolders() throws Exception {
    named = Files.createDirectory(folder.resolve("config")).resolve("log.db");
    real = Files.createDirectory(folder.resolve("disk")).resolve("moved.db");
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aKilledLogThatWasMovedBehindALinkLosesNothing(long seed) throws Exception {
    Random random = new Random(seed);
    List<LogEntry> entries = killed(random);
    Files.move(named, real);
    for (String ending : List.of("-wal", "-tail")) {
      Path beside = beside(named, ending);
      if (Files.exists(beside) && random.nextBoolean()) {
        Files.move(beside, beside(real, ending));
      }
    }
    Files.createSymbolicLink(named, real);

    try (LogFile log = LogFile.open(named, OpenMode.WRITER)) {
      log.writer().commit();
      assertThat(all(log, "a")).as("seed %d", seed).isEqualTo(entries);
    }

    assertThat(Files.isSymbolicLink(named)).isTrue();
    try (LogFile log = LogFile.open(real, OpenMode.READER)) {
      assertThat(all(log, "a")).isEqualTo(entries);
    }
  }

  @Test
  void onlyOneWriterHasALogBehindALink() throws Exception {
    killed(new Random(1));
    Files.move(named, real);
    Files.createSymbolicLink(named, real);

    try (LogFile log = LogFile.open(named, OpenMode.WRITER)) {
      assertThat(LogFile.isBeingWritten(named)).isTrue();
      assertThatThrownBy(() -> LogFile.open(real, OpenMode.WRITER))
          .isInstanceOfSatisfying(
              StorageFailure.class, e -> assertThat(e.kind()).isEqualTo(StorageFailure.Kind.BUSY));
      assertThat(log.path()).isEqualTo(real.toRealPath());
    }
  }

  /** As while the disk of the log is not mounted. */
  @Test
  void aLinkToNothingIsNamedAndWhatLiesBesideItStays() throws Exception {
    killed(new Random(1));
    Files.delete(named);
    Files.createSymbolicLink(named, real);
    for (String ending : List.of("-wal", "-tail")) {
      long bytes = Files.size(beside(named, ending));

      assertThatThrownBy(() -> LogFile.open(named, OpenMode.WRITER))
          .isInstanceOf(StorageFailure.class)
          .hasMessage(named + ": is a link to a file that is not there; is its disk mounted?");

      assertThat(beside(named, ending)).hasSize(bytes);
      Files.delete(beside(named, ending));
    }
  }

  /** What a killed program leaves: readings in the tables, the write-ahead log and the tail. */
  private List<LogEntry> killed(Random random) throws Exception {
    Path used = folder.resolve("used.db");
    List<LogEntry> entries = new ArrayList<>(List.of(new SessionStart(T0, 1, true, false)));
    try (LogFile log = LogFile.open(used, OpenMode.WRITER)) {
      log.writer().append("a", entries.get(0));
      int readings = 200 + random.nextInt(1200);
      for (int i = 1; i <= readings; i++) {
        LogEntry entry = reading(T0 + i * 5_000L, 3300);
        entries.add(entry);
        log.writer().append("a", entry);
        log.writer().commitIfDue(entry.timeMs());
      }
      log.writer().commitIfDue(T0 + readings * 5_000L + 60_000);
      for (String ending : List.of("", "-wal", "-tail")) {
        Files.copy(beside(used, ending), beside(named, ending));
      }
    }
    return entries;
  }

  private static Path beside(Path file, String ending) {
    return file.resolveSibling(file.getFileName() + ending);
  }
}
