package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.store.Logs.HOUR;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.append;
import static org.cellherd.store.Logs.between;
import static org.cellherd.store.Logs.reading;
import static org.cellherd.store.Logs.seconds;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.fold.History;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
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

/** Wrong clocks, and going on from a saved state. */
class TimesTest {

  /** An off-grid computer that believes it is 1970-01-03 or so. */
  private static final long WRONG = 200_000_000L;

  @TempDir Path folder;

  @Test
  void aRunThatBeganWithAWrongClockIsMovedWhenTheClockIsRight() throws StorageFailure {
    List<LogEntry> wrong = new ArrayList<>(List.of(new SessionStart(WRONG, 1, false, true)));
    wrong.addAll(seconds(WRONG, 9000));
    wrong.add(new Gap(WRONG + 8_999_000, WRONG + 9_100_000, Gap.Cause.NO_BYTES));
    List<Reading> right = seconds(T0 + 20_000, 100);
    List<LogEntry> expected = new ArrayList<>();
    long start = T0 - 9_200_000;
    expected.add(new SessionStart(start, 1, true, true));
    expected.addAll(seconds(start, 9000));
    expected.add(new Gap(start + 8_999_000, start + 9_100_000, Gap.Cause.NO_BYTES));
    expected.add(new ClockStep(T0, T0));
    expected.addAll(right);

    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      append(log, "a", wrong);
      log.writer().append("a", new ClockStep(WRONG + 9_200_000, T0));
      append(log, "a", right);

      log.writer().retime(1);

      assertThat(all(log, "a")).isEqualTo(expected);
      assertThat(between(log, "a", 0, 2 * WRONG)).isEmpty();
      append(log, "a", seconds(T0 + 5 * HOUR, 10));
      log.writer().commit();
      List<Statistics.Summary> hours = hours(log);
      List<Statistics.Summary> days =
          log.statistics().dayStatistics("a", Channel.cell(1), 0, T0 * 2);
      assertThat(hours.stream().mapToLong(Statistics.Summary::count).sum()).isEqualTo(9100);
      assertThat(days.stream().mapToLong(Statistics.Summary::count).sum()).isEqualTo(9100);
      assertThat(hours.get(0).startMs()).isBetween(start - HOUR, start);
    }
  }

  @Test
  void hoursThatMoveByExactlyOneHourDoNotCollide() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.writer().append("a", new SessionStart(T0, 1, false, true));
      append(log, "a", seconds(T0, 5 * 3600));
      long end = T0 + 5 * HOUR;
      log.writer().append("a", new ClockStep(end, end + HOUR));
      append(log, "a", seconds(end + HOUR, 10));

      log.writer().retime(1);

      assertThat(hours(log))
          .extracting(Statistics.Summary::startMs)
          .startsWith(T0 + HOUR, T0 + 2 * HOUR);
    }
  }

  private static List<Statistics.Summary> hours(LogFile log) throws StorageFailure {
    return log.statistics().hourStatistics("a", Channel.cell(1), 0, T0 * 2);
  }

  @Test
  void aSavedStateAndTheTailGiveTheSameAsTheWholeLog() throws StorageFailure {
    List<Reading> readings = seconds(T0, 5000);
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      Sum live = new Sum();
      for (Reading reading : readings) {
        if (reading.timeMs() == T0 + 3_000_000) {
          SavedState state = SavedState.of(live::state);
          log.writer().saveSnapshot("a", "sum", reading.timeMs(), state);
          log.writer().commit();
        }
        log.writer().append("a", reading);
        live.accept(reading);
      }
      log.writer().commit();

      History history = log.history();
      History.Snapshot saved = history.snapshot("a", "sum", Long.MAX_VALUE).orElseThrow();
      Sum restored = new Sum();
      saved.state().into(restored::state);
      history.replayAfter("a", saved, Long.MAX_VALUE, restored::accept);

      assertThat(saved.atMs()).isEqualTo(T0 + 3_000_000);
      assertThat(restored.total).isEqualTo(live.total).isPositive();
      assertThat(history.snapshot("a", "sum", T0)).isEmpty();
      assertThat(history.snapshot("b", "sum", Long.MAX_VALUE)).isEmpty();
    }
  }

  @Test
  void aStateSavedByAClockThatWentBackIsFollowedByAllThatHappenedAfterwards()
      throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      append(log, "a", seconds(T0 + 900 * HOUR, 10));
      log.writer()
          .saveSnapshot("a", "sum", T0 + 900 * HOUR + 9001, SavedState.of(io -> io.number(1)));
      log.writer().append("a", reading(T0 + 900 * HOUR + 10_000, 3300));
      List<LogEntry> after =
          List.of(
              new ClockStep(T0 + 900 * HOUR + 11_000, T0),
              reading(T0, 3301),
              reading(T0 + 1000, 3302));
      append(log, "a", after);
      History history = log.history();

      List<LogEntry> found = new ArrayList<>();
      History.Snapshot saved = history.snapshot("a", "sum", Long.MAX_VALUE).orElseThrow();
      history.replayAfter("a", saved, Long.MAX_VALUE, found::add);

      assertThat(found).first().isEqualTo(reading(T0 + 900 * HOUR + 10_000, 3300));
      assertThat(found.subList(1, found.size())).isEqualTo(after);
    }
  }

  /** Sum of cell 1 over the readings. */
  private static final class Sum implements Fold {
    private long total;

    @Override
    public void accept(LogEntry entry) {
      if (entry instanceof Reading reading) {
        total += reading.cells().tenthMv(1);
      }
    }

    @Override
    public void state(State io) {
      io.section("sum", 1);
      total = io.number(total);
    }
  }
}
