package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.reading;

import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.io.TempDir;

/** A log of some days whose file a test damages. */
abstract class DamagedLog {

  static final int HOURS = 26;
  static final int PAGE = StoreSettings.DEFAULT.pageBytes();

  @TempDir Path folder;
  Path file;
  List<LogEntry> entries = List.of();

  @BeforeEach
  void writeALog() throws StorageFailure {
    file = folder.resolve("log.db");
    entries = new ArrayList<>();
    entries.add(new SessionStart(T0, 1, true, true));
    entries.addAll(new StorageDay(true, 5).readings(T0, 0, HOURS * 300));
    stretched();
    write(StoreSettings.DEFAULT);
  }

  void write(StoreSettings settings) throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER, settings)) {
      append(log, "a", entries);
      log.alertLog().commit(AlertsTest.someEvents(40));
    }
  }

  /** The same readings twelve seconds apart, so that they fill the hours. */
  private void stretched() {
    List<LogEntry> slow = new ArrayList<>();
    for (LogEntry entry : entries) {
      slow.add(
          entry instanceof Reading reading
              ? reading.atTime(T0 + (reading.timeMs() - T0) * 12)
              : entry);
    }
    entries = slow;
  }

  /** Neighbouring readings far apart. */
  static List<String> holes(List<LogEntry> found) {
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

  void assertReopensWhole() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      assertThat(log.salvage()).isEmpty();
    }
  }

  /** Makes the file look like one whose writer was killed. */
  void leaveOpen() throws SQLException {
    sql("UPDATE session SET ended = 0");
  }

  void overwritePages(List<Integer> pages, int most) throws IOException {
    try (RandomAccessFile raw = new RandomAccessFile(file.toFile(), "rw")) {
      byte[] rubbish = new byte[PAGE];
      new Random(3).nextBytes(rubbish);
      int from = pages.size() / 2;
      for (int page : pages.subList(from, Math.min(pages.size(), from + most))) {
        raw.seek((page - 1L) * PAGE);
        raw.write(rubbish);
      }
    }
  }

  /** Leaf and overflow pages of a table, by the database's own account. */
  List<Integer> pagesOf(String table) throws SQLException {
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

  void sql(String statement) throws SQLException {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement()) {
      s.execute(statement);
    }
  }
}
