package org.cellherd.store;

import static java.util.Objects.requireNonNull;
import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.all;

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
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.setting.OpenMode;
import org.cellherd.store.setting.StoreSettings;
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
      int from = random.nextInt(HEAD);
      byte[] noise = new byte[random.nextInt(1, Math.min(16, HEAD - from) + 1)];
      random.nextBytes(noise);
      System.arraycopy(noise, 0, bad, from, noise.length);
      Path victim = Files.write(folder.resolve("head-" + i + ".db"), bad);
      String what = noise.length + " bytes at " + from + ", draw " + i + " of seed " + SEED;
      try (LogFile log = LogFile.open(victim, OpenMode.WRITER)) {
        assertThat(all(log, "a").equals(entries)).as(what).isTrue();
      } catch (StorageFailure e) {
        // By its version and kind another program's file would be known: left as it is.
        boolean isTheKind = from < KIND_ENDS && from + noise.length > KIND_BEGINS;
        assertThat(isTheKind && e.kind() == StorageFailure.Kind.REFUSED)
            .as(what + " " + e)
            .isTrue();
        assertThat(Files.readAllBytes(victim)).as(what).isEqualTo(bad);
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
