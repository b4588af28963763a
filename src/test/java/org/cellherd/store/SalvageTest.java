package org.cellherd.store;

import static java.nio.charset.StandardCharsets.US_ASCII;
import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.between;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.Set;
import org.cellherd.pack.Channel;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.loss.Salvage;
import org.cellherd.store.redate.PastRedating;
import org.cellherd.store.redate.Redated;
import org.cellherd.store.setting.OpenMode;
import org.cellherd.store.setting.StoreSettings;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What power loss and bad cards do to a file, and what is saved. */
class SalvageTest {

  private static final int HOURS = 26;

  @TempDir Path folder;
  private Path file;
  private List<LogEntry> entries = List.of();

  @BeforeEach
  void writeALog() throws StorageFailure {
    file = folder.resolve("log.db");
    entries = new ArrayList<>();
    entries.add(new SessionStart(T0, 1, true, true));
    entries.addAll(new StorageDay(true, 5).readings(T0, 0, HOURS * 300));
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", stretched());
      log.alertLog().commit(AlertsTest.someEvents(40));
    }
  }

  /** The same readings twelve seconds apart, so that they fill the hours. */
  private List<LogEntry> stretched() {
    List<LogEntry> slow = new ArrayList<>();
    for (LogEntry entry : entries) {
      slow.add(
          entry instanceof Reading reading
              ? reading.atTime(T0 + (reading.timeMs() - T0) * 12)
              : entry);
    }
    entries = slow;
    return slow;
  }

  @Test
  void aFlippedBitInABlockCostsThatHourAndSaysSo() throws Exception {
    sql(
        "UPDATE block SET data = cast(substr(data, 1, 500) || x'5a' || substr(data, 502) AS BLOB)"
            + " WHERE id = 7");

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a");

      assertThat(log.salvage()).isEmpty();
      assertThat(found.size()).isEqualTo(entries.size() - 300 + 1);
      assertThat(found).contains(new Gap(T0 + 6 * HOUR, T0 + 7 * HOUR - 12_000, Gap.Cause.UNKNOWN));
    }
  }

  @Test
  void aDamagedPageInTheMiddleCostsLittleAndNoAlert() throws Exception {
    leaveOpen();
    overwritePages(pagesOf("block"), 8);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      Salvage salvage = log.salvage().orElseThrow();
      Set<LogEntry> found = new HashSet<>(all(log, "a"));

      assertThat(salvage.damaged()).exists().hasFileName("log.db.damaged-1");
      assertThat(salvage.alertsKept()).isEqualTo(40);
      assertThat(log.alertLog().waitingCount()).isEqualTo(40);
      assertThat(salvage.blocksLost()).isBetween(1L, 9L);
      assertThat(salvage.sentence()).contains("log.db.damaged-1");
      found.retainAll(new HashSet<>(entries));
      assertThat(found.size())
          .isGreaterThanOrEqualTo(entries.size() - 300 * (int) salvage.blocksLost());
    }
    assertReopensWhole();
  }

  @Test
  void statisticsLostWithTheirPagesAreComputedAnew() throws Exception {
    List<Statistic> hours = cellHours();
    List<Statistic> days = cellDays();
    leaveOpen();
    overwritePages(pagesOf("hour"), 2);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
    }

    assertThat(cellHours()).startsWith(hours.toArray(Statistic[]::new));
    assertThat(cellDays().get(0))
        .usingRecursiveComparison()
        .ignoringFields("mean")
        .isEqualTo(days.get(0));
  }

  @Test
  void whatBecameOfNotesAndOfTimesAndWhoseLogItIsAreSaved() throws Exception {
    writeTwoNotes();
    sql("UPDATE identity SET uuid = '01234567-89ab-cdef-0123-456789abcdef'");
    sql("INSERT INTO board VALUES (1, 'a', 'serial 17', 9)");
    sql("INSERT INTO redating VALUES (1, 'a', 9, 'me', 1, 2, 3, 4, 5, 6)");
    leaveOpen();
    overwritePages(pagesOf("block"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE))
          .containsExactly(new Note("a", T0, "me", "right"));
      assertThat(log.remarks().note("a", 2).orElseThrow().changes())
          .containsExactly(new NoteChange(2, T0 + 1, "you", null));
      assertThat(log.uuid()).isEqualTo("01234567-89ab-cdef-0123-456789abcdef");
      assertThat(log.boards().of("a")).contains("serial 17");
      assertThat(log.redatings("a"))
          .containsExactly(new PastRedating(9, "me", new Redated(4, 5, 6, 1, 2, 3)));
    }
  }

  @Test
  void aNoteAfterOnesThatWereLostIsNotWithdrawnWithThem() throws Exception {
    writeTwoNotes();
    leaveOpen();
    overwritePages(pagesOf("note"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      Note next = new Note("a", T0, "me", "next");
      assertThat(log.remarks().add(next)).isEqualTo(3);
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE)).containsExactly(next);
    }
  }

  private void writeTwoNotes() throws StorageFailure {
    try (Remarks beside = Remarks.open(file, StoreSettings.DEFAULT)) {
      beside.change(
          new NoteChange(beside.add(new Note("a", T0, "me", "wrong")), T0, "you", "right"));
      beside.change(
          new NoteChange(beside.add(new Note("a", T0, "me", "none")), T0 + 1, "you", null));
    }
  }

  @Test
  void anOlderSchemaThatIsDamagedLosesNothingForWantOfNewTables() throws Exception {
    leaveOpen();
    sql("DROP TABLE note_change");
    sql("DROP TABLE redating");
    sql("DROP TABLE identity");
    sql("DELETE FROM schema_version WHERE version >= 3");
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).isEqualTo(entries);
      assertThat(log.alertLog().waitingCount()).isEqualTo(40);
      assertThat(log.remarks().notes("a", 0, Long.MAX_VALUE)).isEmpty();
    }
  }

  @Test
  void rowsThatNobodyWroteAreLeftOut() throws Exception {
    sql("UPDATE hour SET start_ms = x'5a5a', count = 'many' WHERE channel = 'cell_2'");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).isEqualTo(entries);
    }
    assertThat(cellDays()).isNotEmpty();
  }

  @Test
  void aRunWhoseOwnRowIsLostIsSeenAgainAtItsPlace() throws Exception {
    SessionStart second = new SessionStart(T0 + 30 * HOUR, 2, true, false);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(second, Logs.reading(T0 + 30 * HOUR, 3300)));
      SessionStart third = new SessionStart(T0 + 31 * HOUR, 3, true, false);
      append(log, "a", List.of(third, Logs.reading(T0 + 31 * HOUR, 3300)));
    }
    sql("DELETE FROM session WHERE run = 2");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a");

      assertThat(log.salvage()).isPresent();
      assertThat(found).hasSize(entries.size() + 4);
      assertThat(found.get(entries.size()))
          .isEqualTo(new SessionStart(T0 + 30 * HOUR, 2, false, false));
      assertThat(log.writer().nextRun()).isEqualTo(4);
    }
  }

  /** Else readings of different clocks would follow each other as if nothing had happened. */
  @Test
  void stretchesOfOneRunWhoseRowsAreLostDoNotRunIntoEachOther() throws Exception {
    long start = T0 + 30 * HOUR;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(start, 2, true, false)));
      append(log, "a", seconds(start, 100));
      append(log, "a", List.of(new ClockStep(start + 100_000, start + 50_000)));
      append(log, "a", seconds(start + 51_000, 100));
      append(log, "a", List.of(new SessionStart(start + HOUR, 3, true, false)));
    }
    sql("DELETE FROM session WHERE kind = 'step'");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = all(log, "a").subList(entries.size(), entries.size() + 202);

      assertThat(found.get(101)).isEqualTo(new SessionStart(start + 51_000, 2, false, false));
    }
  }

  /** A page of a table can hold the heads of nine hours. */
  @Test
  void whicheverPageIsLostItCostsItsOwnRowsAtMost() throws Exception {
    leaveOpen();
    byte[] whole = Files.readAllBytes(file);
    byte[] noise = new byte[1024];
    new Random(5).nextBytes(noise);
    for (int page = 2; page * 1024 <= whole.length; page += 8) {
      byte[] bad = whole.clone();
      System.arraycopy(noise, 0, bad, (page - 1) * 1024, 1024);
      Path victim = folder.resolve("victim-" + page + ".db");
      Files.write(victim, bad);

      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        List<LogEntry> found = all(log, "a");
        found.removeIf(entry -> entry instanceof Gap);
        assertThat(found.size())
            .as("page %d", page)
            .isBetween(entries.size() - 9 * 300 - 1, entries.size());
        assertThat(log.alertLog().waitingCount()).as("page %d", page).isBetween(34, 40);
      }
    }
    assertThat(folder.toFile().list((f, name) -> name.contains("mending"))).isEmpty();
  }

  @Test
  void pagesThatOnlyLeadToOthersCostNothing() throws Exception {
    List<Integer> pages = pagesThatLeadToOthers();
    assertThat(pages).contains(1).hasSizeGreaterThan(6);
    for (int page : pages) {
      leaveOpen();
      overwritePages(List.of(page), 1);

      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(log.salvage()).as("page %d", page).isPresent();
        assertThat(all(log, "a")).as("page %d", page).isEqualTo(entries);
        assertThat(log.alertLog().waitingCount()).as("page %d", page).isEqualTo(40);
      }
    }
  }

  @Test
  void aTornEndCostsOnlyWhatWasThere() throws Exception {
    leaveOpen();
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.WRITE)) {
      channel.truncate(channel.size() - 3 * 1024 - 200);
    }

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a").size()).isGreaterThan(entries.size() - 1300);
    }
    assertReopensWhole();
  }

  @Test
  void aFileThatIsNoDatabaseAnyMoreIsMovedAsideAndReplaced() throws Exception {
    try (RandomAccessFile raw = new RandomAccessFile(file.toFile(), "rw")) {
      raw.write(new byte[4096]);
    }

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      Salvage salvage = log.salvage().orElseThrow();

      assertThat(salvage.complete()).isFalse();
      assertThat(Files.size(salvage.damaged())).isGreaterThan(50_000);
      append(log, "a", seconds(T0, 10));
    }
    assertReopensWhole();
  }

  @Test
  void damageMetWhileRunningIsSalvagedAndTheReadingsGoOn() throws Exception {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      // Behind the open connection's back, as a failing card would.
      overwritePages(pagesOf("hour"), 40);
      long later = T0 + 40 * HOUR;

      for (int i = 0; i < 12; i++) {
        append(log, "a", seconds(later + i * HOUR, 30));
      }

      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a").size()).isGreaterThanOrEqualTo(12 * 30);
    }
    assertReopensWhole();
  }

  @Test
  void aHoleBeforeTheReadingsThatWaitedInMemoryIsTold() throws Exception {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      long later = T0 + 40 * HOUR;
      for (int i = 0; i < 20; i++) {
        append(log, "a", seconds(later + i * 60_000L, 60));
      }
      // Another's change makes the open connection forget the pages that it remembers.
      sql("UPDATE session SET ended = 0");
      sql("PRAGMA wal_checkpoint(TRUNCATE)");
      overwritePages(pagesOf("recent"), 99);

      append(log, "a", seconds(later + 20 * 60_000, 600));

      assertThat(log.salvage()).isPresent();
      List<LogEntry> found = between(log, "a", later, Long.MAX_VALUE);
      assertThat(found.size()).isBetween(600 + 1, 600 + 20 * 60 - 1);
      assertThat(holes(found)).isEmpty();
    }
  }

  @Test
  void powerLostWhileSalvagingLeavesTheDamagedFileToBeSalvagedAgain() throws Exception {
    leaveOpen();
    overwritePages(pagesOf("block"), 2);
    Files.write(folder.resolve("log.db.salvaging"), new byte[5000]);
    Files.write(folder.resolve("log.db.salvaging-wal"), new byte[50]);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a").size()).isGreaterThan(entries.size() / 2);
    }
    assertThat(folder.resolve("log.db.salvaging")).doesNotExist();
  }

  @Test
  void powerLostWhileTheSalvagedFileTakesItsPlaceLosesNothing() throws Exception {
    byte[] whole = Files.readAllBytes(file);
    for (String left : List.of("", "-wal", "-shm")) {
      Files.deleteIfExists(file);
      Files.write(folder.resolve("log.db.salvaged"), whole);
      Files.write(folder.resolve("log.db" + left), "damaged".getBytes(US_ASCII));

      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        assertThat(all(log, "a")).as("left: %s", left).hasSameSizeAs(entries);
      }
      assertThat(folder.resolve("log.db.salvaged")).doesNotExist();
    }
    assertThat(folder.resolve("log.db.damaged-1")).hasContent("damaged");
  }

  @Test
  void rowsThatAreInABlockAlreadyAreNotTakenTwice() throws Exception {
    sql(
        "INSERT INTO recent SELECT id + 100000, pack, session, start_ms, end_ms, crc, data"
            + " FROM block WHERE id BETWEEN 4 AND 6");
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isPresent();
      assertThat(all(log, "a")).isEqualTo(entries);
    }
  }

  @Test
  void aHoleAfterAnHourOfFewReadingsIsTold() throws Exception {
    long start = T0 + 40 * HOUR;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(start, 2, true, true), reading(start, 3300)));
      long heard = start + 58 * 60_000;
      append(log, "a", List.of(new Gap(start, heard, Gap.Cause.NO_BYTES), reading(heard, 3300)));
      append(log, "a", seconds(start + HOUR, 600));
      append(log, "a", seconds(start + HOUR + 600_000, 600));
    }
    sql("DELETE FROM recent WHERE start_ms < " + (start + HOUR + 600_000));
    leaveOpen();
    overwritePages(pagesOf("day"), 1);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = between(log, "a", start, Long.MAX_VALUE);

      assertThat(log.salvage()).isPresent();
      assertThat(found).hasSize(1 + 2 + 1 + 1 + 600);
      assertThat(holes(found)).isEmpty();
    }
  }

  @Test
  void aHoleInsideAnHourIsToldWhereTheGapsThemselvesAreLost() throws Exception {
    long start = T0 + 40 * HOUR;
    long silent = start + 1_000_000;
    long heard = start + 2_000_000;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", List.of(new SessionStart(start, 2, true, true)));
      append(log, "a", seconds(start, 1_000));
      append(log, "a", List.of(new Gap(silent, heard, Gap.Cause.NO_BYTES)));
      append(log, "a", seconds(heard, 5_000));
    }
    leaveOpen();
    overwritePages(pagesOf("gap"), 9);

    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<LogEntry> found = between(log, "a", start, Long.MAX_VALUE);

      assertThat(log.salvage()).isPresent();
      assertThat(found.stream().filter(Gap.class::isInstance)).hasSize(1);
      assertThat(holes(found)).isEmpty();
    }
  }

  /** Neighbouring readings far apart. */
  private static List<String> holes(List<LogEntry> found) {
    List<String> holes = new ArrayList<>();
    for (int i = 1; i < found.size(); i++) {
      if (found.get(i) instanceof Reading next
          && found.get(i - 1) instanceof Reading before
          && next.timeMs() - before.timeMs() > 30_000) {
        holes.add(before.timeMs() + " to " + next.timeMs());
      }
    }
    return holes;
  }

  @Test
  void randomDamageNeverEscapesAsAnythingElse() throws Exception {
    byte[] whole = Files.readAllBytes(file);
    Random random = new Random(11);
    for (int round = 0; round < 6; round++) {
      byte[] bad = whole.clone();
      for (int hit = 0; hit < 8; hit++) {
        bad[100 + random.nextInt(bad.length - 100)] ^= (byte) (1 + random.nextInt(255));
      }
      Path victim = folder.resolve("victim-" + round + ".db");
      Files.write(victim, bad);
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        append(log, "b", seconds(T0, 20));
        assertThat(all(log, "b").size()).isEqualTo(20);
        all(log, "a");
      } catch (StorageFailure e) {
        assertThat(e.getMessage()).contains("victim-" + round);
      }
    }
  }

  private List<Statistic> cellHours() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      return log.statistics().hourStatistics("a", Channel.cell(3), 0, Long.MAX_VALUE);
    }
  }

  private List<Statistic> cellDays() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      return log.statistics().dayStatistics("a", Channel.cell(3), 0, Long.MAX_VALUE);
    }
  }

  private void assertReopensWhole() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isEmpty();
    }
  }

  /** Makes the file look like one whose writer was killed. */
  private void leaveOpen() throws SQLException {
    sql("UPDATE session SET ended = 0");
  }

  private void overwritePages(List<Integer> pages, int most) throws IOException {
    try (RandomAccessFile raw = new RandomAccessFile(file.toFile(), "rw")) {
      byte[] rubbish = new byte[1024];
      new Random(3).nextBytes(rubbish);
      int from = pages.size() / 2;
      for (int page : pages.subList(from, Math.min(pages.size(), from + most))) {
        raw.seek((page - 1) * 1024L);
        raw.write(rubbish);
      }
    }
  }

  /** Leaf and overflow pages of a table, by the database's own account. */
  private List<Integer> pagesOf(String table) throws SQLException {
    List<Integer> pages = new ArrayList<>();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement();
        ResultSet row =
            s.executeQuery(
                "SELECT pageno FROM dbstat WHERE name = '"
                    + table
                    + "' AND pagetype <> 'internal' ORDER BY pageno")) {
      while (row.next()) {
        pages.add(row.getInt(1));
      }
    }
    return pages;
  }

  private List<Integer> pagesThatLeadToOthers() throws SQLException {
    List<Integer> pages = new ArrayList<>();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement();
        ResultSet row =
            s.executeQuery(
                "SELECT pageno FROM dbstat WHERE pagetype = 'internal' AND name NOT IN"
                    + " ('hour', 'day') OR name = 'sqlite_schema' ORDER BY pageno")) {
      while (row.next()) {
        pages.add(row.getInt(1));
      }
    }
    return pages;
  }

  private void sql(String statement) throws SQLException {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement()) {
      s.execute(statement);
    }
  }
}
