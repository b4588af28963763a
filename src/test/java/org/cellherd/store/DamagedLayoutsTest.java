package org.cellherd.store;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;

import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
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
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** However a log was laid out when it was made: pages without rows of their own cost no row. */
class DamagedLayoutsTest extends DamagedLog {
  private static final long SEED = Long.getLong("cellherd.seed", 20_261_129);

  /** Bytes of the head of a file of SQLite. */
  private static final int HEAD = 100;

  private static final int KIND_BEGINS = 60;
  private static final int KIND_ENDS = 72;

  private enum Layout {
    USUAL(StoreSettings.DEFAULT),
    /** As all logs were made before pages of 512 bytes. */
    OLDER_PAGES(StoreSettings.DEFAULT.withPageBytes(1024)),
    /** Its schema has grown since it was made. */
    FORWARDED(StoreSettings.DEFAULT);

    private final StoreSettings settings;

    Layout(StoreSettings settings) {
      this.settings = settings;
    }
  }

  @ParameterizedTest
  @EnumSource(Layout.class)
  void pagesThatOnlyLeadToOthersCostNothing(Layout layout) throws Exception {
    Files.delete(file);
    write(layout.settings);
    if (layout == Layout.FORWARDED) {
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        log.journal().begin(true);
      }
    }
    leaveOpen();
    loseEachPage(layout.settings.pageBytes(), 40);
  }

  @Test
  void alsoWhereTheSchemaWasOlder() throws Exception {
    try (InputStream old = DamagedLayoutsTest.class.getResourceAsStream("schema_v7.db")) {
      Files.copy(requireNonNull(old), file, StandardCopyOption.REPLACE_EXISTING);
    }
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      entries = all(log, "a");
      assertThat(entries).isNotEmpty();
    }
    leaveOpen();
    loseEachPage(1024, 1);
  }

  /**
   * The first 100 bytes lead to all others; any of them may be overwritten, as by another program.
   */
  @Test
  void bytesOfTheHeadCostNothing() throws Exception {
    leaveOpen();
    byte[] whole = Files.readAllBytes(file);
    Random random = new Random(SEED);
    for (int i = 0; i < 40; i++) {
      byte[] bad = whole.clone();
      int from = i % 2 == 0 ? random.nextInt(HEAD) : random.nextInt(KIND_BEGINS - 4, KIND_ENDS);
      byte[] noise = new byte[random.nextInt(1, Math.min(16, HEAD - from) + 1)];
      random.nextBytes(noise);
      System.arraycopy(noise, 0, bad, from, noise.length);
      Path victim = Files.write(folder.resolve("head-" + i + ".db"), bad);
      String what = noise.length + " bytes at " + from + ", draw " + i + " of seed " + SEED;
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        assertThat(all(log, "a").equals(entries)).as(what).isTrue();
      }
    }
  }

  /** What lies beside a log is known for its own by bytes of the head, and by more than these. */
  @Test
  void bytesOfTheHeadCostNothingOfWhatLiesBesideEither() throws Exception {
    List<Path> left = new ArrayList<>();
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<Reading> late = Logs.seconds(entries.get(entries.size() - 1).timeMs() + 10_000, 90);
      for (Reading reading : late) {
        log.writer().append("a", reading);
        log.writer().commitIfDue(reading.timeMs());
      }
      entries = all(log, "a");
      for (String ending : List.of("", "-wal", "-tail")) {
        left.add(Files.copy(Path.of(file + ending), folder.resolve("killed" + ending)));
      }
    }
    Random random = new Random(SEED);
    for (int i = 0; i < 20; i++) {
      Path victim = folder.resolve("beside-" + i);
      for (Path each : left) {
        Files.copy(
            each, folder.resolve(each.getFileName().toString().replace("killed", "beside-" + i)));
      }
      byte[] bad = Files.readAllBytes(victim);
      byte[] noise = new byte[random.nextInt(1, 9)];
      random.nextBytes(noise);
      int from = random.nextInt(KIND_BEGINS - 4, KIND_ENDS);
      System.arraycopy(noise, 0, bad, from, noise.length);
      Files.write(victim, bad);
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        assertThat(all(log, "a").equals(entries))
            .as(
                "%d bytes at %d, draw %d of seed %d: %s",
                noise.length, from, i, SEED, log.reports())
            .isTrue();
        append(log, "a", Logs.seconds(entries.get(entries.size() - 1).timeMs() + 60_000, 10));
      }
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        assertThat(log.salvage()).isEmpty();
        assertThat(all(log, "a")).hasSize(entries.size() + 10);
      }
    }
  }

  private void loseEachPage(int pageBytes, int events) throws Exception {
    byte[] whole = Files.readAllBytes(file);
    List<Integer> pages = pagesThatLeadToOthers();
    assertThat(pages).contains(1).hasSizeGreaterThan(2);
    for (int page : pages) {
      Path victim =
          Files.write(folder.resolve("victim-" + page + ".db"), noisy(whole, page, pageBytes));
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        assertThat(log.salvage()).as("page %d", page).isPresent();
        List<LogEntry> found = all(log, "a");
        assertThat(found.size()).as("page %d, %s", page, log.reports()).isEqualTo(entries.size());
        assertThat(found.equals(entries)).isTrue();
        assertThat(log.alertLog().waitingCount()).as("page %d", page).isEqualTo(events);
      }
    }
  }

  private static byte[] noisy(byte[] whole, int page, int pageBytes) {
    byte[] noise = new byte[pageBytes];
    new Random(page).nextBytes(noise);
    byte[] bad = whole.clone();
    System.arraycopy(noise, 0, bad, (page - 1) * noise.length, noise.length);
    return bad;
  }

  private List<Integer> pagesThatLeadToOthers() throws SQLException {
    List<Integer> pages = new ArrayList<>();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement s = connection.createStatement();
        ResultSet row =
            s.executeQuery(
                "SELECT pageno FROM dbstat WHERE pagetype = 'internal' AND name NOT IN"
                    + " ('hour', 'day') OR name = 'sqlite_schema' AND (pagetype = 'internal' OR pageno % 5 = 0)"
                    + " ORDER BY pageno")) {
      while (row.next()) {
        pages.add(row.getInt(1));
      }
    }
    return pages;
  }
}
