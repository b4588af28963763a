package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.LongSummaryStatistics;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.StorageDay;
import org.cellherd.store.codec.WildReadings;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Import, statistics, retention and findings. */
class BulkTest {

  @TempDir Path folder;
  private Path file;

  @BeforeEach
  void nameTheFile() {
    file = folder.resolve("log.db");
  }

  @Test
  void importedReadingsReplayLikeTheLiveRun() throws StorageFailure {
    List<Reading> readings = new WildReadings(9).rising(T0, 6000);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "live", readings);

      assertThat(imported(log, "brought", readings))
          .isEqualTo(new Importer.Counts(6000, 0, 0, 0, 0));

      assertThat(all(log, "brought")).isEqualTo(all(log, "live")).isEqualTo(readings);
    }
  }

  /** They do not know what is brought in; a crash right after the import must not believe them. */
  @Test
  void savedStatesBehindImportedReadingsAreGone() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", seconds(T0, 60));
      for (long atMs : new long[] {T0 - HOUR, T0 + HOUR}) {
        log.writer().saveSnapshot("a", "fold", atMs, SavedState.of(io -> io.number(atMs)));
        log.writer().commit();
      }

      imported(log, "a", seconds(T0 - HOUR / 2, 60));

      assertThat(log.history().snapshot("a", "fold", Long.MAX_VALUE))
          .hasValueSatisfying(kept -> assertThat(kept.atMs()).isEqualTo(T0 - HOUR));
    }
  }

  @Test
  void importingTheSameFileTwiceAddsNothing() throws StorageFailure {
    List<Reading> readings = seconds(T0, 8000);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      imported(log, "a", readings);

      assertThat(imported(log, "a", readings)).isEqualTo(new Importer.Counts(0, 8000, 0, 0, 0));

      assertThat(all(log, "a")).isEqualTo(readings);
    }
  }

  @Test
  void olderReadingsComeBeforeAndBetweenThoseThatAreThere() throws StorageFailure {
    List<Reading> june = seconds(T0 + 100 * HOUR, 4000);
    List<Reading> december = seconds(T0 + 300 * HOUR, 4000);
    List<Reading> older = new ArrayList<>(seconds(T0, 5000));
    older.addAll(june.subList(0, 100));
    older.addAll(seconds(T0 + 200 * HOUR, 10));
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", june);
      imported(log, "a", december);

      Importer.Counts counts = imported(log, "a", older);

      List<LogEntry> expected = new ArrayList<>(seconds(T0, 5000));
      expected.addAll(june);
      expected.addAll(seconds(T0 + 200 * HOUR, 10));
      expected.addAll(december);
      assertThat(counts).isEqualTo(new Importer.Counts(5010, 100, 0, 0, 0));
      assertThat(all(log, "a")).isEqualTo(expected);
    }
  }

  @Test
  void anImportBetweenLiveEntriesLeavesThemAlone() throws StorageFailure {
    List<Reading> live = seconds(T0 + 50 * HOUR, 20);
    List<Reading> more = seconds(T0 + 60 * HOUR, 20);
    List<Reading> old = seconds(T0, 4000);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.writer().append("a", new SessionStart(T0 + 50 * HOUR, 1, true, true));
      append(log, "a", live);
      imported(log, "a", old);
      log.writer().append("a", new SessionStart(T0 + 60 * HOUR, 2, true, true));
      append(log, "a", more);

      List<LogEntry> expected = new ArrayList<>(old);
      expected.add(new SessionStart(T0 + 50 * HOUR, 1, true, true));
      expected.addAll(live);
      expected.add(new SessionStart(T0 + 60 * HOUR, 2, true, true));
      expected.addAll(more);
      assertThat(all(log, "a")).isEqualTo(expected);
    }
  }

  @Test
  void aPackIsWatchedFromItsFirstRunOn() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      imported(log, "a", seconds(T0, 100));
      assertThat(log.watchedFromMs("a")).isEmpty();

      log.writer().append("a", new SessionStart(T0 + 50 * HOUR, 1, true, true));
      append(log, "a", seconds(T0 + 50 * HOUR, 20));
      log.writer().append("b", new SessionStart(T0 + 40 * HOUR, 1, true, true));

      assertThat(log.watchedFromMs("a")).hasValue(T0 + 50 * HOUR);
    }
  }

  @Test
  void rowsOutOfOrderAndDoubledAreCounted() throws StorageFailure {
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      List<Reading> rows =
          List.of(
              reading(T0, 3300),
              reading(T0 + 2000, 3301),
              reading(T0 + 2000, 3302),
              reading(T0 + 1000, 3303),
              reading(T0 + 3000, 3304));

      assertThat(imported(log, "a", rows)).isEqualTo(new Importer.Counts(3, 1, 1, 0, 0));
    }
  }

  @Test
  void statisticsAreThoseOfTheReadings() throws StorageFailure {
    List<Reading> readings = new StorageDay(true, 3).readings(T0, 0, 2 * 3600);
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      append(log, "a", readings);
      append(log, "a", List.of(readings.get(0).atTime(T0 + 2 * HOUR)));
      log.writer().commit();

      Statistics statistics = log.statistics();
      LongSummaryStatistics hour = summary(readings.subList(3600, 7200));
      assertThat(statistics.packs()).containsExactly("a");
      assertThat(statistics.hourStatistics("a", Channel.cell(2), T0 + HOUR, T0 + 2 * HOUR))
          .containsExactly(statistic(T0 + HOUR, hour, readings, 3600, 7200));
      Statistics.Summary day = statistics.dayStatistics("a", Channel.cell(2), T0, T0 + 1).get(0);
      LongSummaryStatistics both = summary(readings);
      assertThat(day.mean())
          .isCloseTo(both.getAverage(), org.assertj.core.data.Offset.offset(1e-6));
      assertThat(day)
          .usingRecursiveComparison()
          .ignoringFields("mean")
          .isEqualTo(statistic(T0, both, readings, 0, 7200));
    }
  }

  private static LongSummaryStatistics summary(List<Reading> readings) {
    return readings.stream().mapToLong(r -> r.cells().tenthMv(2)).summaryStatistics();
  }

  private static Statistics.Summary statistic(
      long startMs, LongSummaryStatistics s, List<Reading> readings, int from, int to) {
    return new Statistics.Summary(
        startMs,
        s.getCount(),
        s.getMin(),
        s.getAverage(),
        s.getMax(),
        readings.get(from).cells().tenthMv(2),
        readings.get(to - 1).cells().tenthMv(2));
  }

  @Test
  void rawReadingsAboveTheAgeGoAndStatisticsStay() throws StorageFailure {
    StoreSettings twoDays =
        StoreSettings.DEFAULT.withLimits(OptionalInt.of(2), OptionalLong.empty());
    try (LogFile log = LogFile.open(file, OpenMode.WRITER, twoDays)) {
      imported(log, "a", sparse(5 * 24));

      int dropped = log.writer().retain(T0 + 5 * 24 * HOUR);

      assertThat(dropped).isEqualTo(3 * 24);
      assertThat(all(log, "a").get(0).timeMs()).isEqualTo(T0 + 3 * 24 * HOUR);
      assertThat(log.statistics().hourStatistics("a", Channel.cell(1), 0, T0 * 2)).hasSize(120);
      assertThat(log.writer().retain(T0 + 5 * 24 * HOUR)).isZero();
    }
  }

  @Test
  void rawReadingsAboveTheSizeGoOldestFirst() throws StorageFailure {
    StoreSettings oneMegabyte =
        StoreSettings.DEFAULT.withLimits(OptionalInt.empty(), OptionalLong.of(1 << 20));
    try (LogFile log = LogFile.open(file, OpenMode.WRITER, oneMegabyte)) {
      List<Reading> readings = new WildReadings(5).rising(T0, 12_000);
      imported(log, "a", readings);

      int dropped = 0;
      for (int now = 1; now > 0; dropped += now) {
        now = log.writer().retain(T0);
      }

      assertThat(dropped).isPositive();
      List<LogEntry> left = all(log, "a");
      assertThat(left.size()).isBetween(1000, 11_999);
      assertThat(left).isEqualTo(readings.subList(readings.size() - left.size(), readings.size()));
    }
  }

  private static List<Reading> sparse(int hours) {
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < hours * 4; i++) {
      readings.add(reading(T0 + i * HOUR / 4, 3300 + i % 9));
    }
    return readings;
  }

  private static Importer.Counts imported(LogFile log, String pack, List<Reading> readings)
      throws StorageFailure {
    Importer importer = log.importer(pack);
    try (importer) {
      for (Reading reading : readings) {
        importer.add(reading);
      }
    }
    return importer.counts();
  }

  @Test
  void savedStatesThinOutWithAge() throws StorageFailure {
    long day = 24 * HOUR;
    long now = T0 + 200 * day;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (long at = T0; at <= now; at += 6 * HOUR) {
        log.writer()
            .saveSnapshot("a", "fold", at, SavedState.of(at, (saved, io) -> io.number(saved)));
        log.writer().commit();
      }

      log.writer().retain(now);

      for (int i = 0; i < 48; i++) {
        assertThat(ageOfState(log, now - 6 * HOUR * i)).isZero();
      }
      assertThat(ageOfState(log, now - 30 * day)).isLessThan(day);
      assertThat(ageOfState(log, now - 150 * day)).isLessThan(30 * day);
      assertThat(count("SELECT count(*) FROM snapshot")).isBetween(48 + 46 + 4, 48 + 50 + 6);
    }
  }

  private static long ageOfState(LogFile log, long notAfterMs) throws StorageFailure {
    return notAfterMs - log.history().snapshot("a", "fold", notAfterMs).orElseThrow().atMs();
  }

  private int count(String query) {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(query)) {
      return row.getInt(1);
    } catch (SQLException unexpected) {
      throw new AssertionError(unexpected);
    }
  }

  @Test
  void afterAMonthAFindingThatGrewIsKeptOnceADay() throws StorageFailure {
    long day = 24 * HOUR;
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      for (int hour = 1; hour < 48; hour++) {
        long to = T0 + hour * HOUR;
        log.writer()
            .save("a", ResultForm.finding(FindingName.BALANCE, T0, to, Facts.NONE, "grows"));
        log.writer()
            .save("a", ResultForm.finding(FindingName.REST, to - 1000, to, Facts.NONE, "each"));
      }
      log.writer().commit();

      log.writer().retain(T0 + 29 * day);
      assertThat(findings(log, FindingName.BALANCE)).hasSize(47);
      log.writer().retain(T0 + 32 * day);

      assertThat(findings(log, FindingName.BALANCE))
          .extracting(Finding::toMs)
          .containsExactly(T0 + 23 * HOUR, T0 + 47 * HOUR);
      assertThat(findings(log, FindingName.REST)).hasSize(47);
    }
  }

  private static List<Finding> findings(LogFile log, FindingName name) throws StorageFailure {
    return log.history().findings("a", name, Long.MIN_VALUE, Long.MAX_VALUE);
  }

  @Test
  void findingsComeBackByTheirEndAndReplaceTheirLikes() throws StorageFailure {
    Facts facts = Facts.of().put("ah", 101.25, 2).put("cells", List.of(1L, 2L)).build();
    Finding first = ResultForm.finding(FindingName.CAPACITY, T0, T0 + HOUR, facts, "101 Ah.");
    Finding better = ResultForm.finding(FindingName.CAPACITY, T0, T0 + HOUR, facts, "101.25 Ah.");
    Finding second = ResultForm.finding(FindingName.CAPACITY, T0, T0 + 2 * HOUR, Facts.NONE, "-");
    try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
      log.writer().save("a", second);
      log.writer().save("a", first);
      log.writer().save("a", better);
      log.writer().save("a", ResultForm.finding(FindingName.REST, T0, T0 + HOUR, Facts.NONE, "."));
      log.writer().commit();

      assertThat(log.history().findings("a", FindingName.CAPACITY, T0, T0 + 3 * HOUR))
          .containsExactly(better, second);
      assertThat(log.history().findings("a", FindingName.CAPACITY, T0, T0 + 2 * HOUR))
          .containsExactly(better);
    }
  }
}
