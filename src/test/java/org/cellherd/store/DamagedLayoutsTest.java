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
import org.cellherd.store.setting.OpenMode;
import org.cellherd.store.setting.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** However a log was laid out when it was made: pages without rows of their own cost no row. */
class DamagedLayoutsTest extends DamagedLog {

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
