package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;
import static org.junit.jupiter.api.Assumptions.abort;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.OutputStream;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.Tools;
import org.cellherd.alert.AlertEvent;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** On a file system of two megabytes of its own, which needs the right to mount. */
class FullDiskTest {

  @TempDir Path folder;
  private Path disk;

  @BeforeEach
  void mountATinyDisk() throws Exception {
    Tools.require("mount");
    disk = Files.createDirectory(folder.resolve("disk"));
    if (run("mount", "-t", "tmpfs", "-o", "size=2m,nr_inodes=64", "tmpfs", disk.toString()) != 0) {
      System.out.println("skipped: no right to mount a small file system");
      abort("no right to mount a small file system");
    }
  }

  @AfterEach
  void unmount() throws Exception {
    run("umount", "-l", disk.toString());
  }

  @Test
  void readingsAndAlertsWaitWhileTheDiskIsFullAndGoInAfterwards() throws Exception {
    Path file = disk.resolve("log.db");
    List<AlertEvent> events = AlertsTest.someEvents(2);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.writer().append("a", reading(T0, 3300));
      log.writer().commit();
      Path ballast = fill();

      for (int i = 1; i <= 2000; i++) {
        log.writer().append("a", reading(T0 + i * 1000L, 3300 + i % 50));
        if (i % 10 == 0) {
          tryToCommit(log);
        }
      }
      assertThatThrownBy(() -> log.writer().commit())
          .isInstanceOf(StorageFailure.class)
          .extracting(e -> ((StorageFailure) e).kind())
          .isEqualTo(StorageFailure.Kind.NO_SPACE);
      assertThatThrownBy(() -> log.alertLog().commit(events)).isInstanceOf(StorageFailure.class);
      assertThat(log.alertLog().waiting(10)).isEqualTo(events);

      Files.delete(ballast);
      log.writer().commit();

      assertThat(all(log, "a").size()).isEqualTo(2001);
      assertThat(log.writer().skippedReadings()).isZero();
      assertThat(log.alertLog().waitingCount()).isEqualTo(2);
    }
  }

  @Test
  void aboveTheBoundTheNewestReadingsStayAndAGapTellsOfTheOthers() throws Exception {
    StoreSettings small = StoreSettings.DEFAULT.withBufferBytes(4096);
    try (LogFile log = LogFile.open(disk.resolve("log.db"), OpenMode.WRITER, small)) {
      log.writer().append("a", reading(T0, 3300));
      log.writer().commit();
      Path ballast = fill();
      for (int i = 1; i <= 2000; i++) {
        log.writer().append("a", reading(T0 + i * 1000L, 3300 + i % 50));
        if (i % 10 == 0) {
          tryToCommit(log);
        }
      }

      Files.delete(ballast);
      log.writer().commit();

      List<LogEntry> found = all(log, "a");
      long skipped = log.writer().skippedReadings();
      assertThat(skipped).isBetween(1000L, 1999L);
      assertThat(found.size()).isEqualTo(2001 - (int) skipped + 1);
      assertThat(found.get(found.size() - 1).timeMs()).isEqualTo(T0 + 2_000_000);
      assertThat(found.stream().filter(Gap.class::isInstance).map(Gap.class::cast))
          .singleElement()
          .satisfies(gap -> assertThat(gap.cause()).isEqualTo(Gap.Cause.SKIPPED))
          .satisfies(gap -> assertThat(gap.toMs() - gap.fromMs()).isEqualTo((skipped - 1) * 1000));
    }
  }

  @Test
  void whatADiskDoesNotTakeBeforeTheEndIsEitherInTheTailOrToldByNumberAndTime() throws Exception {
    for (int most : List.of(500, 40_000)) {
      Path file = disk.resolve("log-" + most + ".db");
      List<String> reports;
      Path ballast;
      LogFile log = LogFile.open(file, OpenMode.WRITER);
      log.writer().append("a", reading(T0, 3300));
      log.writer().commit();
      ballast = fill();
      for (int i = 1; i <= most; i++) {
        log.writer().append("a", reading(T0 + i * 1000L, 3300 + i * 7919 % 500));
        if (most > 500 && i % 1000 == 0) {
          tryToCommit(log);
        }
      }
      assertThatThrownBy(log::close).isInstanceOf(StorageFailure.class);
      reports = log.reports();
      Files.delete(ballast);

      try (LogFile next = LogFile.open(file, OpenMode.WRITER)) {
        long found = all(next, "a").stream().filter(e -> !(e instanceof Gap)).count();
        long told =
            reports.stream()
                .map(r -> r.replaceAll(".*: (\\d+) readings from .* to .* lost.*", "$1"))
                .mapToLong(Long::parseLong)
                .sum();
        assertThat(found + told).as("%s", reports).isEqualTo(most + 1);
      }
    }
  }

  @Test
  void alertsThatADiskDoesNotTakeBeforeTheEndAreCountedAndTold() throws Exception {
    for (int many : List.of(1, 40)) {
      Path file = disk.resolve("alerts-" + many + ".db");
      List<AlertEvent> events = AlertsTest.someEvents(many + 1);
      LogFile log = LogFile.open(file, OpenMode.WRITER);
      log.alertLog().commit(events.subList(0, 1));
      Path ballast = fill();
      for (AlertEvent event : events.subList(1, many + 1)) {
        assertThatThrownBy(() -> log.alertLog().commit(List.of(event)))
            .isInstanceOf(StorageFailure.class);
      }
      assertThatThrownBy(() -> log.alertLog().delivered(List.of(events.get(1).id())))
          .isInstanceOf(StorageFailure.class);
      assertThatThrownBy(log::close).isInstanceOf(StorageFailure.class);
      Files.delete(ballast);

      assertThat(log.reports()).singleElement().asString().startsWith(many + " change");
      assertThat(log.reports().get(0))
          .contains(
              "; "
                  + (many == 1 ? "every one reached" : many - 1 + " did not reach")
                  + " a broker.");
      try (LogFile next = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(next.events(0, Long.MAX_VALUE)).hasSize(1);
      }
    }
  }

  @Test
  void damageMetOnAFullDiskIsSalvagedOnceThereIsRoom() throws Exception {
    Path file = disk.resolve("log.db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 7200));
      append(log, "a", seconds(T0 + 2 * HOUR, 60));
      Path ballast = fill();
      scribbleOver(file);
      for (int i = 0; i < 20; i++) {
        log.writer().append("a", reading(T0 + 3 * HOUR + i * 1000L, 3300));
        tryToCommit(log);
      }
      assertThat(tryToCommit(log)).isPresent();
      assertThat(file).exists();

      Files.delete(ballast);
      log.writer().commit();

      assertThat(log.salvage()).isPresent();
      List<LogEntry> found = all(log, "a");
      assertThat(found).last().isEqualTo(reading(T0 + 3 * HOUR + 19_000, 3300));
      assertThat(found.size()).isGreaterThan(3600 + 20);
    }
    assertThat(disk.resolve("log.db.damaged-1")).exists();
    assertThat(disk.resolve("log.db.damaged-2")).doesNotExist();
  }

  /** Another process's change, so that nothing is remembered, and a bad page that commits meet. */
  private static void scribbleOver(Path file) throws Exception {
    int page;
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement()) {
      s.execute("PRAGMA wal_checkpoint(TRUNCATE)");
      try (ResultSet root =
          s.executeQuery("SELECT rootpage FROM sqlite_schema WHERE name = 'recent'")) {
        page = root.getInt(1);
      }
    }
    try (RandomAccessFile raw = new RandomAccessFile(file.toFile(), "rw")) {
      int pageBytes = StoreSettings.DEFAULT.pageBytes();
      raw.seek((page - 1L) * pageBytes);
      raw.write(new byte[pageBytes]);
    }
  }

  @Test
  void aDiskThatBecomesReadOnlyIsWaitedFor() throws Exception {
    try (LogFile log = LogFile.open(disk.resolve("log.db"), OpenMode.WRITER)) {
      log.writer().append("a", reading(T0, 3300));
      log.writer().commit();
      if (run("mount", "-o", "remount,ro", disk.toString()) == 0) {
        log.writer().append("a", reading(T0 + 1000, 3300));
        Optional<StorageFailure> failure = tryToCommit(log);
        assertThat(failure.map(StorageFailure::kind))
            .isNotEqualTo(Optional.of(StorageFailure.Kind.DAMAGED));
        run("mount", "-o", "remount,rw", disk.toString());
      }

      log.writer().append("a", reading(T0 + 2000, 3300));
      log.writer().commit();

      assertThat(log.salvage()).isEmpty();
      assertThat(all(log, "a")).last().isEqualTo(reading(T0 + 2000, 3300));
    }
  }

  @Test
  void aLogOnAFullDiskIsOpenedAndWritesOnceThereIsRoom() throws Exception {
    Path file = disk.resolve("log.db");
    List<AlertEvent> events = AlertsTest.someEvents(2);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 100));
      log.alertLog().commit(events);
    }
    Path ballast = fill();

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(all(log, "a")).hasSize(100);
      assertThat(log.alertLog().waiting(10)).isEqualTo(events);
      log.writer().append("a", new SessionStart(T0 + HOUR, log.writer().nextRun(), true, true));
      for (int i = 0; i < 50; i++) {
        log.writer().append("a", reading(T0 + HOUR + i * 1000L, 3300));
        tryToCommit(log);
      }
      assertThat(tryToCommit(log).map(StorageFailure::kind)).contains(StorageFailure.Kind.NO_SPACE);

      Files.delete(ballast);
      log.writer().commit();

      assertThat(all(log, "a")).hasSize(100 + 1 + 50);
      assertThatThrownBy(() -> LogFile.open(file, OpenMode.WRITER))
          .hasMessageContaining("another cellherd is writing");
    }
  }

  @Test
  void aLogWhoseMakingWasCutShortIsRefusedForTheDiskAlone() throws Exception {
    Path file = disk.resolve("log.db");
    try (Connection made = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement head = made.createStatement()) {
      head.execute("PRAGMA user_version=77");
    }
    fill();

    assertThatThrownBy(() -> LogFile.open(file, OpenMode.WRITER))
        .isInstanceOf(StorageFailure.class)
        .hasMessageContaining("the disk is full");
  }

  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void aLogOnADiskWithoutAFreeFileIsOpenedAndWritesOnceThereIsOne(boolean isKilled)
      throws Exception {
    Path file = disk.resolve("log.db");
    Path made = Files.createDirectory(folder.resolve("made"));
    try (LogFile log = LogFile.open(made.resolve("log.db"), OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 60));
      if (isKilled) {
        copyAll(made, disk);
      }
    }
    if (!isKilled) {
      copyAll(made, disk);
    }
    Path many = Files.createDirectory(disk.resolve("many"));
    takeFiles(many);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(all(log, "a")).hasSize(60);
      log.writer().append("a", reading(T0 + HOUR, 3300));
      tryToCommit(log);

      assertThat(run("rm", "-r", many.toString())).isZero();
      log.writer().commit();
      assertThat(all(log, "a")).hasSize(61);
    }
  }

  private static void takeFiles(Path many) {
    try {
      for (int i = 0; ; i++) {
        Files.createFile(many.resolve(Integer.toString(i)));
      }
    } catch (IOException noMore) {
      // As wanted.
    }
  }

  @Test
  void aLogOnAReadOnlyDiskIsOpenedWithItsLatestMinutesKept() throws Exception {
    Path file = disk.resolve("log.db");
    Path killed = Files.createDirectory(disk.resolve("killed"));
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 100));
      for (int i = 100; i < 200; i++) {
        log.writer().append("a", reading(T0 + i * 1000L, 3300));
        log.writer().commitIfDue(i * 1000L);
      }
      copyAll(disk, killed);
    }
    assumeTrue(run("mount", "-o", "remount,ro", disk.toString()) == 0, "no right to remount");

    try (LogFile log = LogFile.open(killed.resolve("log.db"), OpenMode.WRITER)) {
      int before = all(log, "a").size();
      log.writer().append("a", reading(T0 + HOUR, 3300));
      log.writer().commitIfDue(0);
      assertThatThrownBy(() -> log.writer().commitIfDue(20_000)).isInstanceOf(StorageFailure.class);
      run("mount", "-o", "remount,rw", disk.toString());
      log.writer().commit();

      assertThat(before).isBetween(190, 200);
      assertThat(all(log, "a")).hasSize(before + 1).doesNotHaveDuplicates();
      assertThat(all(log, "a")).last().isEqualTo(reading(T0 + HOUR, 3300));
    }
  }

  private static void copyAll(Path from, Path to) throws IOException {
    try (Stream<Path> files = Files.list(from)) {
      for (Path each : files.filter(Files::isRegularFile).toList()) {
        Files.copy(each, to.resolve(each.getFileName()));
      }
    }
  }

  private static Optional<StorageFailure> tryToCommit(LogFile log) {
    try {
      log.writer().commit();
      return Optional.empty();
    } catch (StorageFailure e) {
      return Optional.of(e);
    }
  }

  /** Fills the disk to the last block. */
  private Path fill() throws IOException {
    Path ballast = disk.resolve("ballast");
    byte[] block = new byte[4096];
    try (OutputStream out = Files.newOutputStream(ballast)) {
      while (true) {
        out.write(block);
      }
    } catch (IOException full) {
      return ballast;
    }
  }

  private static int run(String... command) throws IOException, InterruptedException {
    return new ProcessBuilder(command)
        .redirectOutput(ProcessBuilder.Redirect.DISCARD)
        .redirectError(ProcessBuilder.Redirect.DISCARD)
        .start()
        .waitFor();
  }
}
