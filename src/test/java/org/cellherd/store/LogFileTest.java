package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.between;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.WildReadings;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.Schema;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class LogFileTest {

  @TempDir Path folder;
  private Path file;

  @BeforeEach
  void nameTheFile() {
    file = folder.resolve("log.db");
  }

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
            reading(T0 + 2 * HOUR, 3304));

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (LogEntry entry : entries) {
        log.writer().append("a", entry);
      }
      log.writer().commit();
      assertThat(all(log, "a")).isEqualTo(entries);
      log.writer().commit();
      log.writer().commit();
      assertThat(all(log, "a")).isEqualTo(entries);
    }

    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      assertThat(all(log, "a")).isEqualTo(entries);
      assertThat(all(log, "b")).isEmpty();
    }
  }

  @Test
  void anyReadingsComeBackBitForBitThroughPackingAndARestart() throws StorageFailure {
    List<LogEntry> first = new ArrayList<>(List.of(new SessionStart(T0, 1, true, true)));
    first.addAll(new WildReadings(1).rising(T0, 4000));
    long later = first.get(first.size() - 1).timeMs() + 50_000;
    List<LogEntry> second = new ArrayList<>(List.of(new SessionStart(later, 2, true, true)));
    second.addAll(new WildReadings(2).rising(later, 300));

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", first);
    }
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", second);

      List<LogEntry> both = new ArrayList<>(first);
      both.addAll(second);
      assertThat(all(log, "a")).isEqualTo(both);
    }
  }

  @Test
  void aStretchIsCutAtItsTimes() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 9000));

      List<LogEntry> found = between(log, "a", T0 + HOUR - 5000, T0 + HOUR + 5000);

      assertThat(found).hasSize(10);
      assertThat(found.get(0).timeMs()).isEqualTo(T0 + HOUR - 5000);
    }
  }

  @Test
  void aGrowingGapStaysOne() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.writer().append("a", reading(T0, 3300));
      for (int i = 1; i < 200; i++) {
        log.writer().append("a", new Gap(T0, T0 + i * 1000L, Gap.Cause.NO_BYTES));
        log.writer().commitIfDue(T0 + i * 1000L);
      }
      log.writer().append("a", new Gap(T0, T0 + 200_000, Gap.Cause.PORT_MISSING));
      log.writer().commit();

      assertThat(all(log, "a"))
          .containsExactly(
              reading(T0, 3300),
              new Gap(T0, T0 + 199_000, Gap.Cause.NO_BYTES),
              new Gap(T0, T0 + 200_000, Gap.Cause.PORT_MISSING));
    }
  }

  @Test
  void aTimeThatGoesBackBeginsAStretchOfItsOwn() throws StorageFailure {
    List<LogEntry> entries =
        List.of(reading(T0 + 5000, 3300), reading(T0, 3301), reading(T0 + 6000, 3302));
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      entries.forEach(entry -> log.writer().append("a", entry));
      log.writer().commit();

      assertThat(all(log, "a")).isEqualTo(entries);
    }
  }

  @Test
  void nothingIsCommittedBeforeItIsDue() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (int i = 0; i < 10; i++) {
        log.writer().append("a", reading(T0 + i * 1000L, 3300));
        assertThat(log.writer().commitIfDue(i * 1000L)).isFalse();
      }
      assertThat(all(log, "a")).isEmpty();

      log.writer().append("a", reading(T0 + 10_000, 3300));

      assertThat(log.writer().commitIfDue(10_000)).isTrue();
      assertThat(all(log, "a")).hasSize(11);
    }
  }

  @Test
  void aSecondWriterIsRefused() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThatThrownBy(() -> LogFile.open(log.path(), OpenMode.WRITER))
          .isInstanceOf(StorageFailure.class)
          .hasMessageContaining("another cellherd is writing")
          .extracting(e -> ((StorageFailure) e).kind())
          .isEqualTo(StorageFailure.Kind.BUSY);
    }
    LogFile.open(file, OpenMode.WRITER).close();
  }

  @Test
  void aReaderSeesOneConsistentStateWhileHoursArePacked() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER);
        LogFile reader = LogFile.open(file, OpenMode.READER)) {
      append(log, "a", seconds(T0, 3601));
      List<Integer> seen = new ArrayList<>();

      reader
          .history()
          .replay(
              "a",
              T0,
              T0 + HOUR,
              entry -> {
                if (seen.isEmpty()) {
                  commitMore(log);
                }
                seen.add(1);
              });

      assertThat(seen.size()).isEqualTo(3600);
      assertThat(all(reader, "a").size()).isEqualTo(3700);
    }
  }

  private static void commitMore(LogFile log) {
    try {
      seconds(T0 + HOUR + 1000, 99).forEach(r -> log.writer().append("a", r));
      log.writer().commit();
    } catch (StorageFailure e) {
      throw new AssertionError(e);
    }
  }

  @Test
  void aFileOfANewerVersionIsRefusedAndNotTouched()
      throws StorageFailure, SQLException, IOException {
    LogFile.open(file, OpenMode.WRITER).close();
    sql("INSERT INTO schema_version VALUES (" + (Schema.VERSION + 1) + ")");
    byte[] before = Files.readAllBytes(file);

    for (OpenMode mode : OpenMode.values()) {
      assertThatThrownBy(() -> LogFile.open(file, mode))
          .hasMessageContaining("schema version " + (Schema.VERSION + 1))
          .extracting(e -> ((StorageFailure) e).kind())
          .isEqualTo(StorageFailure.Kind.NEWER);
    }

    assertThat(Files.readAllBytes(file)).isEqualTo(before);
  }

  @Test
  void aDatabaseOfAnotherProgramIsRefusedAndNotTouched() throws SQLException, IOException {
    sql("CREATE TABLE shopping(item TEXT)");
    byte[] before = Files.readAllBytes(file);

    assertThatThrownBy(() -> LogFile.open(file, OpenMode.WRITER))
        .hasMessageContaining("not a log of cellherd");

    assertThat(Files.readAllBytes(file)).isEqualTo(before);
  }

  @Test
  void aMissingFileIsRefusedToAReader() {
    assertThatThrownBy(() -> LogFile.open(file, OpenMode.READER))
        .hasMessageContaining("there is no such log");
  }

  @Test
  void aRunThatWasNotClosedIsTold() throws StorageFailure, IOException {
    Path copy = folder.resolve("copy.db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.end()).isEqualTo(SessionStart.Before.ENDED);
      log.writer().append("a", new SessionStart(T0, log.writer().nextRun(), true, true));
      log.writer().commit();
      Files.copy(file, copy);
      Files.copy(folder.resolve("log.db-wal"), folder.resolve("copy.db-wal"));
    }

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.end()).isEqualTo(SessionStart.Before.ENDED);
      assertThat(log.writer().nextRun()).isEqualTo(2);
    }
    try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
      assertThat(log.end()).isEqualTo(SessionStart.Before.CUT);
    }
  }

  /** However the run of the original ends, or has ended. */
  @ParameterizedTest
  @EnumSource(names = {"CUT", "ENDED"})
  void aLogThatGoesOnFromACopySaysSo(SessionStart.Before before) throws StorageFailure {
    Path copy = folder.resolve("copy.db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.writer().append("a", new SessionStart(T0, log.writer().nextRun(), true, true));
      append(log, "a", seconds(T0, 20));
      if (before == SessionStart.Before.CUT) {
        log.backup(copy);
      }
    }
    if (before == SessionStart.Before.ENDED) {
      try (LogFile log = LogFile.open(file, OpenMode.READER)) {
        log.backup(copy);
      }
    }

    try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
      assertThat(log.end()).isEqualTo(SessionStart.Before.COPIED);
      log.writer()
          .append("a", new SessionStart(T0 + 60_000, log.writer().nextRun(), true, log.end()));
    }
    try (LogFile log = LogFile.open(copy, OpenMode.READER)) {
      assertThat(log.end()).isEqualTo(SessionStart.Before.ENDED);
      assertThat(all(log, "a"))
          .contains(new SessionStart(T0 + 60_000, 2, true, SessionStart.Before.COPIED));
    }
  }

  @Test
  void aBackUpOfALogInUseIsWhole() throws StorageFailure {
    Path copy = folder.resolve("backup.db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 8000));

      log.backup(copy);

      try (LogFile back = LogFile.open(copy, OpenMode.READER)) {
        assertThat(all(back, "a")).isEqualTo(seconds(T0, 8000));
      }
      assertThatThrownBy(() -> log.backup(copy)).hasMessageContaining("exists already");
    }
  }

  private void sql(String statement) throws SQLException {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement()) {
      s.execute(statement);
    }
  }
}
