package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.Arrays;
import java.util.List;
import org.cellherd.JavaCommand;
import org.cellherd.alert.AlertEvent;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A process that ends at any moment, and a card that lost the latest writes. */
class PowerLossTest {

  @TempDir Path folder;

  @Test
  void whateverIsLeftOfTheWriteAheadLogAnEarlierStateComesBack() throws Exception {
    Path file = folder.resolve("log.db");
    List<Reading> readings = seconds(T0, 400);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (int i = 0; i < readings.size(); i++) {
        log.writer().append("a", readings.get(i));
        if (i % 20 == 19) {
          log.writer().commit();
        }
      }
      long size = Files.size(folder.resolve("log.db-wal"));
      int before = 0;
      for (long left = size / 3; left <= size; left += size / 9 + 13) {
        int found = reopenedWith(left, readings);
        assertThat(found).isGreaterThanOrEqualTo(before);
        assertThat(found % 20).isZero();
        before = found;
      }
    }
  }

  /** Copies the live file, cuts the copy's write-ahead log, and counts what comes back. */
  private int reopenedWith(long walBytes, List<Reading> readings) throws Exception {
    Path copy = folder.resolve("copy-" + walBytes + ".db");
    Path wal = folder.resolve("copy-" + walBytes + ".db-wal");
    Files.copy(folder.resolve("log.db"), copy);
    Files.copy(folder.resolve("log.db-wal"), wal);
    try (FileChannel channel = FileChannel.open(wal, StandardOpenOption.WRITE)) {
      channel.truncate(walBytes);
    }
    try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
      assertThat(log.salvage()).isEmpty();
      int found = all(log, "a").size();
      assertThat(all(log, "a")).isEqualTo(readings.subList(0, found));
      return found;
    }
  }

  @Test
  void readingsOfTheTailSurviveWithoutACommitOfTheDatabase() throws Exception {
    Path file = folder.resolve("log.db");
    Path copy = folder.resolve("copy.db");
    List<Reading> readings = seconds(T0, 131);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (Reading reading : readings) {
        log.writer().append("a", reading);
        log.writer().commitIfDue(reading.timeMs() - T0);
      }
      Files.copy(file, copy);
      Files.copy(folder.resolve("log.db-wal"), folder.resolve("copy.db-wal"));
      Files.copy(folder.resolve("log.db-tail"), folder.resolve("copy.db-tail"));
      try (LogFile reader = LogFile.open(file, OpenMode.READER)) {
        assertThat(all(reader, "a").size()).isBetween(121, 131);
      }
      log.backup(folder.resolve("backup.db"));
      try (LogFile backup = LogFile.open(folder.resolve("backup.db"), OpenMode.READER)) {
        assertThat(all(backup, "a")).isEqualTo(all(log, "a"));
      }
    }
    assertThat(folder.resolve("log.db-tail")).doesNotExist();

    for (int start = 0; start < 2; start++) {
      try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
        int found = all(log, "a").size();
        assertThat(found).isBetween(121, 131);
        assertThat(all(log, "a")).isEqualTo(readings.subList(0, found));
      }
    }
  }

  @Test
  void aLostLastCommitCostsNothingThatTheTailHeldBeforeIt() throws Exception {
    Path copy = folder.resolve("copy.db");
    List<Reading> readings = seconds(T0, 3300);
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      for (Reading reading : readings) {
        log.writer().append("a", reading);
        log.writer().commitIfDue(reading.timeMs() - T0);
      }
      assertThat(rowsOfTheTable(folder.resolve("log.db"))).isGreaterThan(2 * 60);
      for (String file : List.of("", "-wal", "-tail")) {
        Files.copy(folder.resolve("log.db" + file), folder.resolve("copy.db" + file));
      }
      try (FileChannel wal =
          FileChannel.open(folder.resolve("copy.db-wal"), StandardOpenOption.WRITE)) {
        wal.truncate(wal.size() - 100);
      }
    }
    int inTheTable = rowsOfTheTable(copy);

    for (int start = 0; start < 2; start++) {
      try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
        List<LogEntry> found = all(log, "a");

        assertThat(inTheTable).isLessThan(2 * 60);
        assertThat(found).hasSizeBetween(3290, 3300).isEqualTo(readings.subList(0, found.size()));
      }
    }
  }

  private static int rowsOfTheTable(Path file) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement();
        ResultSet row = s.executeQuery("SELECT count(*) FROM recent")) {
      return row.getInt(1);
    }
  }

  @Test
  void whatALostCommitTookBeforeTheTailBeginsIsToldAsAGap() throws Exception {
    Path file = folder.resolve("log.db");
    Path copy = folder.resolve("copy.db");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (Reading reading : seconds(T0, 3300)) {
        log.writer().append("a", reading);
        log.writer().commitIfDue(reading.timeMs() - T0);
      }
      Files.copy(file, copy);
      Files.copy(folder.resolve("log.db-wal"), folder.resolve("copy.db-wal"));
      Files.copy(folder.resolve("log.db-tail"), folder.resolve("copy.db-tail"));
    }
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + copy);
        Statement s = connection.createStatement()) {
      s.execute("DELETE FROM recent WHERE start_ms > " + (T0 + 600_000));
      s.execute("UPDATE sqlite_sequence SET seq = (SELECT max(id) FROM recent)");
    }
    Path half = folder.resolve("copy.db-tail");
    byte[] tail = Files.readAllBytes(half);
    Arrays.fill(tail, 0, tail.length / 2, (byte) 0);
    Files.write(half, tail);

    try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a");

      assertThat(found.size()).isBetween(600, 3200);
      assertThat(found).filteredOn(Gap.class::isInstance).hasSize(1);
      assertThat(found).last().isInstanceOf(Reading.class);
    }
  }

  /** Nothing is written into a file that came in the log's place, and the log's own is whole. */
  @Test
  void aLogThatIsMovedOrReplacedIsNotWrittenUntilItIsBack() throws Exception {
    Path other = folder.resolve("other.db");
    try (LogFile log = LogFile.open(other, OpenMode.WRITER)) {
      log.writer().append("z", reading(T0, 3400));
    }
    for (boolean isReplaced : List.of(false, true)) {
      Path file = folder.resolve("log-" + isReplaced + ".db");
      Path elsewhere = folder.resolve("elsewhere-" + isReplaced + ".db");
      LogFile log = LogFile.open(file, OpenMode.WRITER);
      log.writer().append("a", reading(T0, 3300));
      log.writer().commit();
      Files.move(file, elsewhere);
      if (isReplaced) {
        Files.copy(other, file);
      }
      log.writer().append("a", reading(T0 + 1000, 3301));
      assertThatThrownBy(() -> log.writer().commit()).hasMessageContaining("moved");
      assertThat(isReplaced ? Files.mismatch(file, other) : -1).isEqualTo(-1);
      Files.move(elsewhere, file, StandardCopyOption.REPLACE_EXISTING);
      log.writer().commit();
      assertThat(all(log, "a")).hasSize(2);
      log.close();
    }
  }

  @Test
  void withoutATailTheTableTakesTheReadings() throws Exception {
    Path file = folder.resolve("log.db");
    Files.createDirectories(folder.resolve("log.db-tail/in-the-way"));

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (Reading reading : seconds(T0, 61)) {
        log.writer().append("a", reading);
        log.writer().commitIfDue(reading.timeMs() - T0);
      }

      assertThat(all(log, "a").size()).isBetween(51, 61);
    }
  }

  @Test
  void aTornTailCostsItsEndOnly() throws Exception {
    Path file = folder.resolve("log.db");
    List<Reading> readings = seconds(T0, 131);
    int before = 0;
    for (int left = 300; left < 1200; left += 100) {
      Path copy = folder.resolve("torn-" + left + ".db");
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        for (Reading reading : readings) {
          log.writer().append("a" + left, reading);
          log.writer().commitIfDue(reading.timeMs() - T0);
        }
        Files.copy(file, copy);
        Files.copy(folder.resolve("log.db-wal"), folder.resolve("torn-" + left + ".db-wal"));
        byte[] tail = Files.readAllBytes(folder.resolve("log.db-tail"));
        Arrays.fill(tail, left, tail.length, (byte) 0x5a);
        Files.write(folder.resolve("torn-" + left + ".db-tail"), tail);
      }
      try (LogFile log = LogFile.open(copy, OpenMode.WRITER)) {
        int found = all(log, "a" + left).size();
        assertThat(found).isBetween(before, 131);
        assertThat(all(log, "a" + left)).isEqualTo(readings.subList(0, found));
        before = found;
      }
    }
  }

  @Test
  void aKilledProcessLosesNothingThatItHadCommitted() throws Exception {
    for (int round = 0; round < Integer.getInteger("store.kills", 3); round++) {
      Path file = folder.resolve("killed-" + round + ".db");
      int committed = killAfter(file, 4 + 9 * round % 50);

      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(log.end()).isEqualTo(SessionStart.Before.CUT);
        assertThat(log.salvage()).isEmpty();
        assertThat(all(log, "a").size()).isGreaterThanOrEqualTo(1 + committed * 10);
        assertThat(all(log, "a")).doesNotHaveDuplicates();
        assertThat(log.alertLog().waitingCount()).isGreaterThanOrEqualTo(committed);
      }
    }
  }

  private static int killAfter(Path file, int commits) throws IOException, InterruptedException {
    Process victim =
        new ProcessBuilder(
                JavaCommand.of(JavaCommand.SHORT, Victim.class.getName(), file.toString()))
            .redirectError(ProcessBuilder.Redirect.INHERIT)
            .start();
    int told = 0;
    try (BufferedReader out =
        new BufferedReader(
            new InputStreamReader(victim.getInputStream(), StandardCharsets.UTF_8))) {
      while (told < commits && out.readLine() != null) {
        told++;
      }
      victim.destroyForcibly().waitFor();
    }
    assertThat(told).isEqualTo(commits);
    return told;
  }

  /** Writes until it is killed: ten readings and an alert a commit, and says so after each. */
  static final class Victim {
    private Victim() {}

    /** Takes the file's name. */
    public static void main(String[] args) throws StorageFailure {
      StoreSettings atOnce = StoreSettings.DEFAULT.withAtRiskMs(0);
      // Left open on purpose: this process only ends by being killed.
      @SuppressWarnings({"resource", "MustBeClosedChecker"})
      LogFile log = LogFile.open(Path.of(args[0]), OpenMode.WRITER, atOnce);
      log.writer().append("a", new SessionStart(T0, log.writer().nextRun(), true, true));
      List<AlertEvent> events = AlertsTest.someEvents(10_000);
      for (int commit = 0; commit < 10_000; commit++) {
        for (int i = 0; i < 10; i++) {
          log.writer().append("a", reading(T0 + commit * 400_000L + i * 1000L, 3300));
        }
        log.writer().commitIfDue(commit * 60_000L);
        log.alertLog().commit(events.subList(commit, commit + 1));
        System.out.println(commit);
      }
    }
  }
}
