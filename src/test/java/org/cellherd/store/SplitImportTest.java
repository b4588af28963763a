package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.NavigableSet;
import java.util.OptionalLong;
import java.util.Random;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.assertj.core.data.Offset;
import org.cellherd.pack.Channel;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.codec.WildReadings;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;
import org.junit.jupiter.api.io.TempDir;

/** One log, drawn, cut into files and brought in one by one: nothing is lost without a word. */
class SplitImportTest {
  private static final long SEED = Long.getLong("store.seed", 2411);

  @TempDir Path folder;

  private Random random = new Random(SEED);
  private String seed = "";

  private void begin(RepetitionInfo repetition) {
    random = new Random(SEED + repetition.getCurrentRepetition());
    seed = "seed " + (SEED + repetition.getCurrentRepetition());
  }

  /** Some hours, no time twice, with holes of minutes and, here and there, of hours. */
  private List<Reading> drawn() {
    WildReadings wild = new WildReadings(random.nextLong());
    List<Reading> readings = new ArrayList<>();
    long at = T0 + random.nextInt(7_200_000);
    for (int parts = 1 + random.nextInt(4); parts > 0; parts--) {
      readings.addAll(wild.rising(at, 1 + random.nextInt(1500)));
      at = readings.get(readings.size() - 1).timeMs() + 1 + random.nextInt(9_000_000);
    }
    return readings;
  }

  /** Each row is in one of the files at least; which, changes with each row or after many. */
  private List<List<Reading>> files(List<Reading> readings) {
    List<List<Reading>> files = new ArrayList<>();
    for (int count = 2 + random.nextInt(4); count > 0; count--) {
      files.add(new ArrayList<>());
    }
    int often = 1 + random.nextInt(random.nextBoolean() ? 3 : 400);
    int one = 0;
    for (Reading reading : readings) {
      one = random.nextInt(often) == 0 ? random.nextInt(files.size()) : one;
      files.get(one).add(reading);
      if (random.nextInt(9) == 0) {
        List<Reading> other = files.get(random.nextInt(files.size()));
        if (other != files.get(one)) {
          other.add(reading);
        }
      }
    }
    Collections.shuffle(files, random);
    return files;
  }

  private static Importer.Counts imported(LogFile log, List<Reading> rows) throws StorageFailure {
    Importer importer = log.importer("a");
    try (importer) {
      for (Reading row : rows) {
        importer.add(row);
      }
    }
    return importer.counts();
  }

  @RepeatedTest(6)
  void filesInAnyOrderGiveTheLogOfOneImport(RepetitionInfo repetition) throws StorageFailure {
    begin(repetition);
    List<Reading> readings = drawn();
    try (LogFile whole = LogFile.open(folder.resolve("whole.db"), OpenMode.WRITER);
        LogFile log = LogFile.open(folder.resolve("split.db"), OpenMode.WRITER)) {
      imported(whole, readings);
      TreeSet<Long> there = new TreeSet<>();
      for (List<Reading> rows : files(readings)) {
        long fresh = rows.stream().filter(r -> there.add(r.timeMs())).count();
        assertThat(imported(log, rows))
            .as(seed)
            .isEqualTo(new Importer.Counts(fresh, rows.size() - fresh, 0, 0, 0));
      }

      assertThat(all(log, "a")).as(seed).isEqualTo(all(whole, "a")).isEqualTo(readings);
      sameStatistics(log.statistics(), whole.statistics());
      log.examine();
      assertThat(log.shortfalls()).as(seed).isEmpty();
    }
  }

  private void sameStatistics(Statistics split, Statistics whole) throws StorageFailure {
    for (Channel channel : List.of(Channel.cell(1), Channel.of(Channel.Kind.CURRENT))) {
      same(
          split.hourStatistics("a", channel, 0, 2 * T0),
          whole.hourStatistics("a", channel, 0, 2 * T0));
      same(
          split.dayStatistics("a", channel, 0, 2 * T0),
          whole.dayStatistics("a", channel, 0, 2 * T0));
    }
  }

  /** Stretches have hours of their own; together they say what the one says. */
  private void same(List<Statistics.Summary> split, List<Statistics.Summary> whole) {
    for (Statistics.Summary right : whole) {
      List<Statistics.Summary> parts =
          split.stream().filter(s -> s.startMs() == right.startMs()).toList();
      double total = parts.stream().mapToDouble(s -> s.mean() * s.count()).sum();
      double close = 1e-9 * Math.max(Math.abs(right.min()), Math.abs(right.max()));
      assertThat(parts.stream().mapToLong(Statistics.Summary::count).sum())
          .as(seed)
          .isEqualTo(right.count());
      assertThat(total / right.count()).as(seed).isCloseTo(right.mean(), Offset.offset(close));
      assertThat(parts).as(seed).extracting(Statistics.Summary::min).contains(right.min());
      assertThat(parts).as(seed).allMatch(s -> s.min() >= right.min() && s.max() <= right.max());
      assertThat(parts).as(seed).extracting(Statistics.Summary::max).contains(right.max());
      assertThat(parts).as(seed).extracting(Statistics.Summary::first).contains(right.first());
      assertThat(parts).as(seed).extracting(Statistics.Summary::last).contains(right.last());
    }
    assertThat(split).as(seed).allMatch(s -> isHourOf(s, whole));
  }

  private static boolean isHourOf(Statistics.Summary part, List<Statistics.Summary> whole) {
    return whole.stream().anyMatch(s -> s.startMs() == part.startMs());
  }

  /**
   * What a run watched stays as it was; every row is stored, there already or said to be neither.
   */
  @RepeatedTest(6)
  void rowsAmongThoseOfARunAreToldAndAllOthersStored(RepetitionInfo repetition)
      throws StorageFailure {
    begin(repetition);
    List<Reading> readings = drawn();
    int from = random.nextInt(readings.size());
    List<Reading> watched =
        readings.subList(from, Math.min(readings.size(), from + 1 + random.nextInt(900))).stream()
            .filter(r -> random.nextInt(4) > 0)
            .toList();
    TreeSet<Long> live =
        watched.stream().map(Reading::timeMs).collect(Collectors.toCollection(TreeSet::new));
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      if (!watched.isEmpty()) {
        log.writer().append("a", new SessionStart(live.first() - 1, 1, true, true));
      }
      Logs.append(log, "a", watched);
    }
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      List<Reading> right = new ArrayList<>();
      for (Reading r : readings) {
        if (live.contains(r.timeMs()) || !isAmid(live, r)) {
          right.add(r);
        }
      }
      TreeSet<Long> there = new TreeSet<>(live);
      for (List<Reading> rows : files(readings)) {
        long among =
            rows.stream().filter(r -> !live.contains(r.timeMs()) && isAmid(live, r)).count();
        long fresh = rows.stream().filter(r -> !isAmid(live, r) && there.add(r.timeMs())).count();
        assertThat(imported(log, rows))
            .as(seed)
            .isEqualTo(new Importer.Counts(fresh, rows.size() - fresh - among, 0, among, 0));
      }

      List<LogEntry> entries = all(log, "a");
      entries.removeIf(entry -> !(entry instanceof Reading));
      assertThat(entries).as(seed).isEqualTo(right);
    }
  }

  private static boolean isAmid(NavigableSet<Long> live, Reading r) {
    return !live.isEmpty() && r.timeMs() >= live.first() && r.timeMs() <= live.last();
  }

  /** Then hours of the stretch begin at any minute. */
  @RepeatedTest(6)
  void filesAmongReadingsThatWereReDatedComeToTheirPlaces(RepetitionInfo repetition)
      throws StorageFailure {
    begin(repetition);
    List<Reading> readings = drawn();
    long wrong = random.nextInt((int) HOUR);
    List<List<Reading>> files = files(readings);
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      List<Reading> first = files.get(0);
      imported(log, first.stream().map(r -> r.atTime(r.timeMs() - wrong)).toList());
      Redating right =
          new Redating("a", OptionalLong.empty(), 0, 2 * T0, start -> wrong, "owner", 2 * T0);
      log.writer().redate(right, false);
      for (List<Reading> rows : files.subList(1, files.size())) {
        imported(log, rows);
      }

      assertThat(all(log, "a")).as(seed).isEqualTo(readings);
    }
  }
}
