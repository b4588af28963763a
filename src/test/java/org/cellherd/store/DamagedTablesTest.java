package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.seconds;

import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Bits and bytes that a card changes anywhere in a log: whatever SQLite itself then gives otherwise
 * than the undamaged copy, is reported by the background check and by whoever asks for it.
 */
class DamagedTablesTest {

  private static final int PAGE = StoreSettings.DEFAULT.pageBytes();
  private static final int DRAWS = Integer.getInteger("store.draws", 60);
  private static final long SEED = Long.getLong("store.seed", 1);
  private static final List<String> TABLES =
      List.of(
          "alert",
          "event",
          "acknowledgement",
          "session",
          "gap",
          "finding",
          "note",
          "note_change",
          "redating",
          "board",
          "hour",
          "day");
  private static final Pattern ROWS = Pattern.compile("Table (\\w+) of the log: (\\d+) rows?");

  @TempDir Path folder;
  private Path whole;
  private Map<String, List<String>> rows = Map.of();

  @BeforeEach
  void writeALog() throws Exception {
    whole = folder.resolve("whole.db");
    try (LogFile log = LogFile.open(whole, OpenMode.WRITER)) {
      for (int day = 0; day < 9; day++) {
        long start = T0 + day * 24L * HOUR;
        append(log, "a", List.of(new SessionStart(start, day + 1, true, true)));
        for (int i = 0; i < 12; i++) {
          long from = start + i * HOUR;
          append(log, "a", seconds(from, 20));
          append(log, "a", List.of(new Gap(from + 20_000, from + HOUR, Gap.Cause.NO_BYTES)));
        }
        String words = "At rest for " + day + " h";
        log.writer().save("a", finding(start, words));
        log.writer().commit();
        log.remarks().add(new Note("a", start, "me", "note " + day));
        log.remarks().change(new Note.Change(1, start, "me", "now " + day));
        log.remarks().acknowledge("alert-" + day, "me", start);
      }
      log.boards().learn("a", "serial 17", T0);
      log.alertLog().commit(AlertsTest.someEvents(150));
      sweep(log);
      assertThat(log.reports()).isEmpty();
      sweep(log);
      assertThat(log.reports()).as("nothing is damaged").isEmpty();
    }
    rows = rows(whole);
  }

  private static Finding finding(long start, String words) {
    return ResultForm.finding(FindingName.REST, start, start + HOUR, Facts.NONE, words);
  }

  private static void sweep(LogFile log) throws StorageFailure {
    while (log.checkNext()) {
      // Until all are checked.
    }
  }

  @Test
  void theBackgroundCheckReportsWhatIsNotAsItWas() throws Exception {
    int seen = 0;
    for (int draw = 0; draw < DRAWS; draw++) {
      Path file = damaged(draw);
      Map<String, List<String>> now = rows(file);
      String when = "seed " + SEED + ", draw " + draw;
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        if (log.salvage().isPresent()) {
          continue;
        }
        try {
          sweep(log);
        } catch (StorageFailure salvageIsDue) {
          assertThat(salvageIsDue.kind())
              .as(when + salvageIsDue)
              .isEqualTo(StorageFailure.Kind.DAMAGED);
          continue;
        }
        Map<String, Integer> told = new TreeMap<>();
        for (String sentence : log.reports()) {
          Matcher match = ROWS.matcher(sentence);
          if (match.find()) {
            told.merge(match.group(1), Integer.parseInt(match.group(2)), Integer::sum);
            assertThat(sentence).as(when).contains(" between 20").contains(" UTC");
          }
        }
        Map<String, Integer> lost = lost(now);
        assertThat(told.keySet()).as(when).isEqualTo(lost.keySet());
        // Where a key was hit, queries by it miss more rows than a scan does.
        lost.forEach(
            (table, count) ->
                assertThat(told.get(table)).as(when + ", " + table).isGreaterThanOrEqualTo(count));
        seen += told.isEmpty() ? 0 : 1;
        int reports = log.reports().size();
        sweep(log);
        assertThat(log.reports()).as(when + ": once").hasSize(reports);
      }
    }
    assertThat(seen).as("draws that changed a row and nothing else").isGreaterThan(DRAWS / 6);
  }

  @Test
  void whoeverAsksIsToldWhatIsNotAsItWas() throws Exception {
    String expected;
    try (LogFile log = LogFile.open(whole, OpenMode.READER)) {
      expected = answers(log);
      assertThat(log.shortfalls()).isEmpty();
    }
    int differ = 0;
    for (int draw = 0; draw < DRAWS; draw++) {
      String when = "seed " + SEED + ", draw " + draw;
      try (LogFile log = LogFile.open(damaged(draw), OpenMode.READER)) {
        String given = answers(log);
        if (!given.equals(expected)) {
          differ++;
          assertThat(log.shortfalls()).as(when).isNotEmpty();
        }
      } catch (StorageFailure told) {
        assertThat(told.getMessage()).as(when).contains("damaged");
      }
    }
    assertThat(differ).isGreaterThan(DRAWS / 5);
  }

  /** As check and backup do, which ask for nothing else. */
  @Test
  void anExaminationFindsWhatAnyAnswerLacks() throws Exception {
    String expected;
    try (LogFile log = LogFile.open(whole, OpenMode.READER)) {
      expected = answers(log);
    }
    int differ = 0;
    for (int draw = 0; draw < DRAWS; draw++) {
      String when = "seed " + SEED + ", draw " + draw;
      Path file = damaged(draw);
      List<String> told = List.of();
      try (LogFile log = LogFile.open(file, OpenMode.READER)) {
        log.examine();
        told = log.shortfalls();
      } catch (StorageFailure damage) {
        told = List.of(String.valueOf(damage.getMessage()));
      }
      boolean isOther;
      try (LogFile log = LogFile.open(file, OpenMode.READER)) {
        isOther = !answers(log).equals(expected);
      } catch (StorageFailure damage) {
        isOther = true;
      }
      differ += isOther ? 1 : 0;
      if (isOther) {
        assertThat(told).as(when).isNotEmpty();
      }
    }
    assertThat(differ).isGreaterThan(DRAWS / 5);
  }

  /** Everything that a report could ask for. */
  private static String answers(LogFile log) throws StorageFailure {
    StringBuilder all = new StringBuilder();
    long end = Long.MAX_VALUE;
    all.append(all(log, "a"))
        .append(log.events("a", 0, end))
        .append(log.alertLog().standing())
        .append(log.remarks().keptNotes("a", 0, end))
        .append(log.remarks().waitingAcknowledgements())
        .append(log.statistics().gaps("a", 0, end))
        .append(log.boards().of("a"))
        .append(log.history().findings("a", FindingName.REST, 0, end));
    for (int n = 1; n <= 2; n++) {
      all.append(log.statistics().hourStatistics("a", Channel.cell(n), 0, end))
          .append(log.statistics().dayStatistics("a", Channel.cell(n), 0, end));
    }
    return all.toString();
  }

  /** One bit, some bytes or a page of zeros, anywhere behind the first page. */
  private Path damaged(int draw) throws Exception {
    Random random = new Random(SEED * 1000 + draw);
    byte[] bytes = Files.readAllBytes(whole);
    int at = PAGE + random.nextInt(bytes.length - 2 * PAGE);
    switch (draw % 4) {
      case 0, 1 -> bytes[at] ^= (byte) (1 << random.nextInt(8));
      case 2 -> {
        byte[] noise = new byte[1 + random.nextInt(16)];
        random.nextBytes(noise);
        System.arraycopy(noise, 0, bytes, at, noise.length);
      }
      default -> Arrays.fill(bytes, at / PAGE * PAGE, at / PAGE * PAGE + PAGE, (byte) 0);
    }
    return Files.write(folder.resolve("damaged-" + draw + ".db"), bytes);
  }

  /** How many rows of each table are not there as they were. */
  private Map<String, Integer> lost(Map<String, List<String>> now) {
    Map<String, Integer> lost = new TreeMap<>();
    rows.forEach(
        (table, before) -> {
          List<String> left = new ArrayList<>(before);
          now.getOrDefault(table, List.of()).forEach(left::remove);
          if (!left.isEmpty()) {
            lost.put(table, left.size());
          }
        });
    return lost;
  }

  /** What SQLite itself gives of each table, as far as it does. */
  private static Map<String, List<String>> rows(Path file) throws SQLException {
    Map<String, List<String>> rows = new TreeMap<>();
    try (Connection connection =
        DriverManager.getConnection("jdbc:sqlite:file:" + file + "?immutable=1")) {
      for (String table : TABLES) {
        List<String> found = rows.computeIfAbsent(table, t -> new ArrayList<>());
        try (Statement statement = connection.createStatement();
            ResultSet row = statement.executeQuery("SELECT * FROM " + table)) {
          int columns = row.getMetaData().getColumnCount();
          while (row.next()) {
            StringBuilder text = new StringBuilder();
            for (int i = 1; i <= columns; i++) {
              Object value = row.getObject(i);
              text.append(value instanceof byte[] b ? Arrays.toString(b) : value).append('|');
            }
            found.add(text.toString());
          }
        } catch (SQLException broken) {
          found.add("broken");
        }
      }
    }
    return rows;
  }
}
