package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.reading;

import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.OptionalLong;
import java.util.Random;
import java.util.stream.Stream;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.Channel;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Drawn logs of runs, clock steps, imports and silences get other times over drawn spans: exactly
 * the readings of the span move, in whole order, or nothing at all changes.
 */
class RedatingTest {

  private static final int DRAWS = Integer.getInteger("store.redatings", 25);
  private static final long SEED = Long.getLong("store.seed", 5);
  private static final long NOW = T0 + 4000 * HOUR;

  @TempDir private Path folder;

  private List<Gap> overReadings = List.of();
  private int refused;
  private int moved;
  private int undone;

  @Test
  void exactlyTheReadingsOfTheSpanMoveOrNothingChanges() throws Exception {
    for (int draw = 0; draw < DRAWS; draw++) {
      Random random = new Random(SEED * 1000 + draw);
      Path file = folder.resolve("log-" + draw + ".db");
      try (LogFile log = LogFile.open(file, OpenMode.WRITER)) {
        append(log, "a", entries(random, 1));
        append(log, "b", entries(random, 1));
        importOlder(log, random);
        log.writer().saveSnapshot("a", "sum", T0 + HOUR, SavedState.of(io -> io.number(1)));
        log.writer().commit();
        one(log, file, random, "seed " + SEED + ", draw " + draw);
      }
    }
    // Else the draws would prove nothing.
    assertThat(List.of(refused, moved, undone)).allMatch(n -> n > DRAWS / 10);
  }

  private void one(LogFile log, Path file, Random random, String when) throws Exception {
    List<Reading> before = readings(log, "a");
    List<LogEntry> others = all(log, "b");
    Redating asked = drawn(before, random);
    List<Reading> span = before.stream().filter(r -> isIn(r, asked)).toList();
    String was = dump(file);
    overReadings = gapsOverReadings(log);

    Redating.Done told;
    try {
      told = log.writer().redate(asked, true);
    } catch (StorageFailure tooNear) {
      refused++;
      assertThat(tooNear.kind()).as(when).isEqualTo(StorageFailure.Kind.REFUSED);
      assertThat(dump(file)).as(when).isEqualTo(was);
      assertThat(mayOverlap(before, span, asked)).as(when + ": " + tooNear).isTrue();
      return;
    }
    assertThat(dump(file)).as(when + ": a trial").isEqualTo(was);
    assertThat(log.writer().redate(asked, false)).as(when).isEqualTo(told);

    assertThat(told.readings()).as(when).isEqualTo(span.size());
    assertThat(sorted(readings(log, "a"))).as(when).isEqualTo(sorted(expected(before, asked)));
    assertThat(all(log, "b")).as(when).isEqualTo(others);
    whole(log, file, before, when);
    if (span.isEmpty()) {
      assertThat(dump(file)).as(when).isEqualTo(was);
      return;
    }
    moved++;
    assertThat(log.redatings("a")).as(when).hasSize(1);
    assertThat(log.history().snapshot("a", "sum", Long.MAX_VALUE)).as(when).isEmpty();
    undo(log, before, told, when);
  }

  /** Later readings than those that were told of in between do not fit an undoing. */
  private void undo(LogFile log, List<Reading> before, Redating.Done told, String when)
      throws StorageFailure {
    long from = told.fromMs() + told.offsetMs();
    long to = told.toMs() + told.offsetMs() + 1;
    long within =
        readings(log, "a").stream().filter(r -> r.timeMs() >= from && r.timeMs() < to).count();
    if (within == told.readings()) {
      undone++;
      log.writer().redate(asking(from, to, -told.offsetMs()), false);
      assertThat(sorted(readings(log, "a"))).as(when + ", undone").isEqualTo(sorted(before));
    }
  }

  private static List<Gap> gapsOverReadings(LogFile log) throws StorageFailure {
    List<Reading> readings = readings(log, "a");
    return all(log, "a").stream()
        .flatMap(e -> e instanceof Gap gap ? Stream.of(gap) : Stream.empty())
        .filter(
            g -> readings.stream().anyMatch(r -> r.timeMs() > g.fromMs() && r.timeMs() < g.toMs()))
        .toList();
  }

  private void whole(LogFile log, Path file, List<Reading> before, String when) throws Exception {
    while (log.checkNext()) {
      assertThat(log.reports()).as(when).isEmpty();
    }
    assertThat(log.losses()).as(when).isEmpty();
    if (isInOrder(before)) {
      assertThat(isInOrder(readings(log, "a"))).as(when).isTrue();
      assertThat(gapsOverReadings(log)).as(when).allMatch(overReadings::contains);
    }
    if (number(file, "SELECT count(*) FROM recent WHERE pack = 'a'") == 0) {
      for (String table : new String[] {"hour", "day"}) {
        String channel = " FROM " + table + " WHERE pack = 'a' AND channel = '" + CELL + "'";
        assertThat(number(file, "SELECT sum(count)" + channel)).as(when).isEqualTo(before.size());
        assertThat(number(file, "SELECT max(max)" + channel))
            .as(when)
            .isEqualTo(before.stream().mapToInt(r -> r.cells().tenthMv(1)).max().orElse(0));
      }
    }
  }

  private static final String CELL = Channel.cell(1).columnName();

  private static boolean isIn(Reading reading, Redating asked) {
    return reading.timeMs() >= asked.fromMs() && reading.timeMs() < asked.toMs();
  }

  /** Stretches are refused that would lie within each other, so the whole must touch at least. */
  private static boolean mayOverlap(List<Reading> all, List<Reading> span, Redating asked) {
    List<Reading> left = new ArrayList<>(all);
    left.removeAll(span);
    long offset = asked.offsetMs().applyAsLong(0);
    long first = span.stream().mapToLong(Reading::timeMs).min().orElseThrow() + offset;
    long last = span.stream().mapToLong(Reading::timeMs).max().orElseThrow() + offset;
    return last > NOW
        || (left.stream().anyMatch(r -> r.timeMs() <= last)
            && left.stream().anyMatch(r -> r.timeMs() >= first));
  }

  private static Redating drawn(List<Reading> readings, Random random) {
    long from = readings.get(random.nextInt(readings.size())).timeMs() + random.nextInt(3) - 1;
    long to = readings.get(random.nextInt(readings.size())).timeMs() + random.nextInt(3) - 1;
    if (random.nextInt(4) == 0) {
      to = Long.MAX_VALUE;
    }
    long[] reaches = {60_000, 2 * HOUR, 48 * HOUR, 900 * HOUR};
    long offset = (long) (random.nextGaussian() * reaches[random.nextInt(4)]);
    long whole = random.nextBoolean() ? Math.round((double) offset / HOUR) * HOUR : offset;
    return asking(Math.min(from, to), Math.max(from, to), whole == 0 ? HOUR : whole);
  }

  private static Redating asking(long from, long to, long offset) {
    return new Redating("a", OptionalLong.empty(), from, to, first -> offset, "owner", NOW);
  }

  private static List<Reading> expected(List<Reading> before, Redating asked) {
    return before.stream()
        .map(r -> isIn(r, asked) ? at(r, r.timeMs() + asked.offsetMs().applyAsLong(0)) : r)
        .toList();
  }

  private static Reading at(Reading reading, long timeMs) {
    return reading(timeMs, reading.cells().tenthMv(1) / 10);
  }

  private static List<Reading> sorted(List<Reading> readings) {
    return readings.stream()
        .sorted(
            Comparator.comparingLong(Reading::timeMs).thenComparingInt(r -> r.cells().tenthMv(1)))
        .toList();
  }

  private static boolean isInOrder(List<Reading> readings) {
    return readings.equals(
        readings.stream().sorted(Comparator.comparingLong(Reading::timeMs)).toList());
  }

  private static List<Reading> readings(LogFile log, String pack) throws StorageFailure {
    return all(log, pack).stream()
        .flatMap(e -> e instanceof Reading r ? Stream.of(r) : Stream.empty())
        .toList();
  }

  /** Runs one behind the other, with steps of the clock and silences. */
  private static List<LogEntry> entries(Random random, long firstRun) {
    List<LogEntry> entries = new ArrayList<>();
    long time = T0 + 100 * HOUR;
    long run = firstRun;
    for (int part = 1 + random.nextInt(5); part > 0; part--) {
      long hole = random.nextInt(3) == 0 ? random.nextInt(200) * HOUR : random.nextInt(5_000_000);
      if (random.nextBoolean() && !entries.isEmpty()) {
        long to = time + (random.nextInt(4) == 0 ? -1 : 1) * hole;
        entries.add(new ClockStep(time, to));
        time = to;
      } else {
        entries.add(new SessionStart(time + hole, run++, true, true));
        if (!entries.isEmpty() && random.nextBoolean()) {
          entries.add(new Gap(time, time + hole, Gap.Cause.NOT_RUNNING));
        }
        time += hole;
      }
      for (int i = random.nextInt(400); i >= 0; i--) {
        entries.add(reading(time, 3000 + random.nextInt(600)));
        long pause = 1000L * (1 + random.nextInt(60));
        if (random.nextInt(100) == 0) {
          entries.add(new Gap(time, time + HOUR, Gap.Cause.NO_BYTES));
          pause += HOUR;
        }
        time += pause;
      }
    }
    return entries;
  }

  private static void importOlder(LogFile log, Random random) throws StorageFailure {
    try (Importer importer = log.importer("a")) {
      long time = T0 + random.nextInt(50) * HOUR;
      for (int i = random.nextInt(500); i >= 0; i--) {
        importer.add(reading(time, 3000 + random.nextInt(600)));
        time += 1000L * (1 + random.nextInt(900));
      }
    }
  }

  private static String dump(Path file) throws Exception {
    StringBuilder all = new StringBuilder();
    for (String table :
        List.of("session", "block", "recent", "gap", "hour", "day", "snapshot", "redating")) {
      try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
          Statement statement = connection.createStatement();
          ResultSet row =
              statement.executeQuery("SELECT * FROM " + table + " ORDER BY 1, 2, 3, 4")) {
        while (row.next()) {
          for (int i = 1; i <= row.getMetaData().getColumnCount(); i++) {
            Object value = row.getObject(i);
            all.append(value instanceof byte[] bytes ? Arrays.hashCode(bytes) : value);
            all.append('|');
          }
          all.append('\n');
        }
      }
    }
    return all.toString();
  }

  private static long number(Path file, String sql) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file);
        Statement statement = connection.createStatement();
        ResultSet row = statement.executeQuery(sql)) {
      return row.getLong(1);
    }
  }
}
