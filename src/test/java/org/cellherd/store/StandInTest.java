package org.cellherd.store;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.cellherd.store.Logs.T0;
import static org.cellherd.store.Logs.all;
import static org.cellherd.store.Logs.seconds;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A watch that begins while its log cannot be opened, for any cause that may pass: drawn causes
 * over drawn logs. {@code -Dcellherd.runs=200 -Dcellherd.seed=7} draws more and others.
 */
class StandInTest {

  private static final int RUNS = Integer.getInteger("cellherd.runs", 24);
  private static final long SEED = Long.getLong("cellherd.seed", 1);

  @TempDir Path temp;

  /** What is in the way of a log, put there and taken away again. */
  private enum Obstacle {
    FOLDER_AWAY,
    FILE_FOR_FOLDER,
    FOLDER_FOR_LOG,
    FOLDER_FOR_LOCK,
    FOLDER_FOR_FRAMES,
    LINK_TO_NOTHING;

    void put(Path log, Path aside) throws IOException {
      switch (this) {
        case FOLDER_AWAY -> Files.move(log.getParent(), aside);
        case FILE_FOR_FOLDER -> {
          Files.move(log.getParent(), aside);
          Files.createFile(log.getParent());
        }
        case FOLDER_FOR_LOG, FOLDER_FOR_LOCK, FOLDER_FOR_FRAMES -> {
          moveIfThere(inTheWay(log), aside);
          Files.createDirectory(inTheWay(log));
          Files.createFile(inTheWay(log).resolve("something"));
        }
        case LINK_TO_NOTHING -> {
          moveIfThere(log, aside);
          Files.createSymbolicLink(log, aside.resolveSibling("nowhere").resolve("log.db"));
        }
      }
    }

    void take(Path log, Path aside) throws IOException {
      switch (this) {
        case FOLDER_AWAY -> Files.move(aside, log.getParent());
        case FILE_FOR_FOLDER -> {
          Files.delete(log.getParent());
          Files.move(aside, log.getParent());
        }
        case FOLDER_FOR_LOG, FOLDER_FOR_LOCK, FOLDER_FOR_FRAMES -> {
          Files.delete(inTheWay(log).resolve("something"));
          Files.delete(inTheWay(log));
          moveIfThere(aside, inTheWay(log));
        }
        case LINK_TO_NOTHING -> {
          Files.delete(log);
          moveIfThere(aside, log);
        }
      }
    }

    private Path inTheWay(Path log) {
      String ending = this == FOLDER_FOR_LOG ? "" : this == FOLDER_FOR_LOCK ? ".lock" : "-wal";
      return log.resolveSibling(log.getFileName() + ending);
    }

    private static void moveIfThere(Path from, Path to) throws IOException {
      if (Files.exists(from)) {
        Files.move(from, to);
      }
    }
  }

  @Test
  void whatWaitedGoesInBehindWhatTheLogHeld() throws Exception {
    for (int run = 0; run < RUNS; run++) {
      Path folder = Files.createDirectory(temp.resolve("run-" + run));
      Random random = new Random(SEED * 1000 + run);
      Obstacle obstacle = Obstacle.values()[run % Obstacle.values().length];
      String what = "seed " + SEED + ", run " + run + ", " + obstacle;
      watch(folder, obstacle, random, what);
    }
  }

  private static void watch(Path folder, Obstacle obstacle, Random random, String what)
      throws Exception {
    Path log = Files.createDirectory(folder.resolve("card")).resolve("log.db");
    List<LogEntry> held = hold(folder, log, random);
    Path aside = folder.resolve("aside");
    obstacle.put(log, aside);

    List<StorageFailure> why = new ArrayList<>();
    List<LogEntry> told = new ArrayList<>();
    List<AlertEvent> events = AlertsTest.someEvents(1 + random.nextInt(5));
    try (LogFile file = LogFile.openInAnyCase(log, StoreSettings.DEFAULT, why::add)) {
      long startMs = T0 + 86_400_000L + random.nextInt(7_200_000);
      assertThat(why).as(what).hasSize(1);
      told.add(new SessionStart(startMs, file.writer().nextRun(), true, true));
      told.addAll(drawn(startMs, random));
      told.forEach(entry -> file.writer().append("a", entry));
      file.writer().saveSnapshot("a", "fold", startMs + 1, SavedState.of(io -> io.number(7)));
      assertThatThrownBy(() -> file.alertLog().commit(events)).as(what).isNotNull();
      assertThatThrownBy(file.writer()::commit)
          .as(what)
          .isInstanceOf(StorageFailure.class)
          .message()
          .as(what)
          .doesNotContain("the system refused");
      assertThat(file.isToBeReopened()).as(what).isFalse();

      obstacle.take(log, aside);
      file.writer().commit();
      assertThat(file.isToBeReopened()).as(what).isTrue();
      List<LogEntry> later = drawn(told.get(told.size() - 1).timeMs() + 1000, random);
      later.forEach(entry -> file.writer().append("a", entry));
      told.addAll(later);
      assertThat(file.reports()).as(what).noneMatch(said -> said.contains("lost"));
    }

    try (LogFile file = LogFile.open(log, OpenMode.WRITER)) {
      List<LogEntry> expected = new ArrayList<>(held);
      told.forEach(entry -> expected.add(behind(entry, held.isEmpty() ? 0 : 1)));
      assertThat(all(file, "a")).as(what).isEqualTo(expected);
      assertThat(file.alertLog().waiting(100)).as(what).containsExactlyElementsOf(events);
      assertThat(file.writer().nextRun()).as(what).isEqualTo(held.isEmpty() ? 2 : 3);
      assertThat(file.history().snapshot("a", "fold", Long.MAX_VALUE)).as(what).isEmpty();
      assertThat(file.end()).as(what).isEqualTo(SessionStart.Before.ENDED);
      file.examine();
      assertThat(file.shortfalls()).as(what).isEmpty();
      assertThat(file.reports()).as(what).isEmpty();
    }
  }

  /** No log, one that was closed, or one of a run that was killed. */
  private static List<LogEntry> hold(Path folder, Path log, Random random) throws Exception {
    int kind = random.nextInt(4);
    if (kind == 0) {
      return List.of();
    }
    Path live = kind == 1 ? log : folder.resolve("live.db");
    List<LogEntry> entries = new ArrayList<>();
    try (LogFile file = LogFile.open(live, OpenMode.WRITER)) {
      entries.add(new SessionStart(T0, file.writer().nextRun(), true, true));
      entries.addAll(drawn(T0, random));
      for (LogEntry entry : entries) {
        file.writer().append("a", entry);
        file.writer().commitIfDue(entry.timeMs());
      }
      if (kind == 2) {
        file.writer().commit();
      } else {
        // All of it lies in the tail or the tables, as the time at risk is over.
        file.writer().commitIfDue(Long.MAX_VALUE / 2);
      }
      if (kind != 1) {
        for (String ending : List.of("", "-wal", "-shm", "-tail")) {
          Path from = Path.of(live + ending);
          if (Files.exists(from)) {
            Files.copy(from, Path.of(log + ending));
          }
        }
      }
    }
    return entries;
  }

  /** Readings with a gap and a set clock here and there, over up to some hours. */
  private static List<LogEntry> drawn(long startMs, Random random) {
    List<LogEntry> entries = new ArrayList<>();
    long now = startMs;
    for (int part = 0; part < 1 + random.nextInt(4); part++) {
      List<Reading> readings = seconds(now + 1000, 1 + random.nextInt(900));
      entries.addAll(readings);
      now = readings.get(readings.size() - 1).timeMs();
      if (random.nextInt(3) == 0) {
        long to = now + 1000 + random.nextInt(3_600_000);
        entries.add(new Gap(now, to, Gap.Cause.NO_BYTES));
        now = to;
      } else if (random.nextInt(3) == 0) {
        long to = now + 3_600_000;
        entries.add(new ClockStep(now, to));
        now = to;
      }
    }
    return entries;
  }

  private static LogEntry behind(LogEntry entry, long runs) {
    return entry instanceof SessionStart start
        ? new SessionStart(
            start.timeMs(), start.session() + runs, start.clockSure(), start.before())
        : entry;
  }

  /** What only its owner can put right is refused, as ever. */
  @Test
  void anothersFileIsNoLogToStandInFor() throws Exception {
    Path log = Files.writeString(temp.resolve("notes.txt"), "no log\n");

    assertThatThrownBy(() -> LogFile.openInAnyCase(log, StoreSettings.DEFAULT, why -> {}))
        .hasMessageContaining("a text file, not a log");
    try (LogFile first = LogFile.open(temp.resolve("log.db"), OpenMode.WRITER)) {
      assertThatThrownBy(
              () -> LogFile.openInAnyCase(first.path(), StoreSettings.DEFAULT, why -> {}))
          .hasMessageContaining("another cellherd is writing");
    }
  }

  @Test
  void whatNoDiskTookIsTold() throws Exception {
    Path log = temp.resolve("away").resolve("log.db");
    LogFile file = LogFile.openInAnyCase(log, StoreSettings.DEFAULT, why -> {});
    seconds(T0, 30).forEach(reading -> file.writer().append("a", reading));

    assertThatThrownBy(file::close).hasMessageContaining("there is no such folder");

    assertThat(file.reports()).singleElement().asString().contains("30 readings", "00:00:29");
    assertThat(log.getParent()).doesNotExist();
  }
}
