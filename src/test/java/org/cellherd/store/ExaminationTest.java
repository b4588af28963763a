package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.reading;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SessionStart;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A look at a whole log: beside its writer it finds nothing, and every row that is gone. */
class ExaminationTest {

  private static final int DRAWS = Integer.getInteger("store.draws", 24);

  @TempDir private Path folder;

  private long nowMs = T0;

  private void some(LogFile log, Random random) throws Exception {
    for (int i = random.nextInt(2000); i >= 0; i--) {
      nowMs += 1000 + random.nextInt(9000);
      if (random.nextInt(300) == 0) {
        long from = nowMs;
        nowMs += 1000L * random.nextInt(9000);
        log.writer().append("a", new Gap(from, nowMs, Gap.Cause.NO_BYTES));
      }
      log.writer().append("a", reading(nowMs, 3300 + random.nextInt(5)));
      log.writer().commitIfDue(nowMs);
    }
  }

  private static List<String> told(Path file) throws Exception {
    try (LogFile log = LogFile.open(file, OpenMode.READER)) {
      log.examine();
      return log.shortfalls();
    }
  }

  @Test
  void besideTheWriterNothingIsMissing() throws Exception {
    for (int draw = 0; draw < DRAWS; draw++) {
      Random random = new Random(draw * 0x9E3779B97F4A7C15L);
      Path file = folder.resolve("live-" + draw + ".db");
      for (int run = 1; run <= 1 + random.nextInt(3); run++) {
        try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
          nowMs += random.nextInt(4) * HOUR;
          log.writer().append("a", new SessionStart(nowMs, run, true, true));
          for (int look = 0; look < 3; look++) {
            some(log, random);
            assertThat(told(file)).as("draw %d, run %d", draw, run).isEmpty();
          }
        }
      }
    }
  }

  @Test
  void aRowThatIsGoneIsTold() throws Exception {
    for (int draw = 0; draw < DRAWS; draw++) {
      Random random = new Random(draw * 0x9E3779B97F4A7C15L + 1);
      Path file = folder.resolve("gone-" + draw + ".db");
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        log.writer().append("a", new SessionStart(nowMs, 1, true, true));
        for (int i = 0; i < 3; i++) {
          some(log, random);
        }
        log.writer().commit();
      }
      String table = random.nextBoolean() ? "block" : "recent";
      if (delete(file, table, random) > 0) {
        assertThat(told(file)).as("draw %d, %s", draw, table).anyMatch(s -> s.contains(" lost"));
      } else {
        assertThat(told(file)).as("draw %d", draw).isEmpty();
      }
    }
  }

  private static int delete(Path file, String table, Random random) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement()) {
      return statement.executeUpdate(
          "DELETE FROM "
              + table
              + " WHERE id = (SELECT id FROM "
              + table
              + " ORDER BY id LIMIT 1 OFFSET "
              + random.nextInt(4)
              + ")");
    }
  }
}
