package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.fold.History;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** States that are kept along a log which is read as a whole. */
class RefoldTest {
  private static final long HOUR = 3_600_000;
  private static final long DAY = 24 * HOUR;

  /** 2026-01-01 00:00 UTC. */
  private static final long T0 = 1_767_225_600_000L;

  @TempDir private Path folder;
  private final PackConfig pack =
      PackConfig.of(PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000), ZoneOffset.UTC);

  private static Reading at(long timeMs) {
    return Reading.at(timeMs)
        .cells(CellVoltages.ofMv(3300, 3301, 3302, 3303))
        .currentMa(-2_000)
        .build();
  }

  private Optional<Long> stateBefore(List<LogEntry> entries, long timeMs) throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      for (LogEntry entry : entries) {
        log.writer().append("crate", entry);
      }
      log.writer().commit();

      Refold.run(log, pack, false);

      return log.history().snapshot("crate", Recovery.ANALYSIS, timeMs).map(History.Snapshot::atMs);
    }
  }

  @Test
  void anEarlierDayHasAStateAtItsFirstEntry() throws StorageFailure {
    List<LogEntry> log = List.of(at(T0), at(T0 + DAY + HOUR), at(T0 + 2 * DAY), at(T0 + 3 * DAY));

    assertThat(stateBefore(log, T0 + 2 * DAY - 1)).hasValue(T0 + DAY + HOUR);
  }

  /** Going on from a state of the wrong time would skip all that came after it. */
  @Test
  void noStateLiesBeyondAClockThatWentBack() throws StorageFailure {
    List<LogEntry> log =
        List.of(
            at(T0),
            at(T0 + 300 * DAY),
            at(T0 + 301 * DAY),
            new SessionStart(T0 + DAY, 2, true, true),
            at(T0 + DAY),
            at(T0 + DAY + HOUR));

    assertThat(stateBefore(log, Long.MAX_VALUE)).hasValue(T0 + DAY + HOUR + 1);
  }

  /** Judging an import that nobody asked to be judged would cost many times what it is worth. */
  @Test
  void rulesReadTheLatestDayAfterAnImportWithAllThatTheAnalysesKnewBefore() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      PackWatch whole = new PackWatch(pack);
      for (long timeMs = T0; timeMs < T0 + 5 * DAY; timeMs += HOUR / 4) {
        log.writer().append("crate", at(timeMs));
        whole.accept(at(timeMs));
      }
      log.writer().commit();
      Refold.run(log, pack, false);
      PackWatch next = new PackWatch(pack);

      boolean isWhole = new Recovery(log).restore(next);

      assertThat(log.history().snapshot("crate", Recovery.ALERTS, Long.MAX_VALUE)).isEmpty();
      assertThat(isWhole).as("the rules have seen all").isFalse();
      assertThat(SavedState.of(next.analysis()::state))
          .isEqualTo(SavedState.of(whole.analysis()::state));
    }
  }

  /** Every saved state, newest first, and all findings. */
  private static List<Object> kept(LogFile log) throws StorageFailure {
    List<Object> kept = new ArrayList<>();
    Optional<History.Snapshot> state =
        log.history().snapshot("crate", Recovery.ANALYSIS, Long.MAX_VALUE);
    while (state.isPresent()) {
      kept.add(state.get().atMs());
      kept.add(state.get().state());
      state = log.history().snapshot("crate", Recovery.ANALYSIS, state.get().atMs() - 1);
    }
    for (FindingName name : FindingName.values()) {
      kept.addAll(log.history().findings("crate", name, Long.MIN_VALUE, Long.MAX_VALUE));
    }
    return kept;
  }

  @Test
  void readingsFoldedAsTheyAreStoredLeaveWhatALogReadAgainLeaves() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      Refold stored = Refold.ofNew(log, pack, false).orElseThrow();
      try (Importer importer = log.importer("crate")) {
        for (long timeMs = T0; timeMs < T0 + 170 * DAY; timeMs += 5 * HOUR) {
          importer.add(at(timeMs));
          stored.take(at(timeMs));
        }
      }
      stored.store();
      List<Object> first = kept(log);

      Refold.run(log, pack, false);

      assertThat(kept(log)).isEqualTo(first);
      assertThat(first).hasSizeGreaterThan(2 * 60);
      assertThat(Refold.ofNew(log, pack, false)).as("no second time").isEmpty();
    }
  }

  /** A meter's reading is held against the readings that come later: all of them must be there. */
  @Test
  void aPackWithANoteIsReadWhenAllIsStored() throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      log.remarks().add(new Note("crate", T0, "owner", "a note"));

      assertThat(Refold.ofNew(log, pack, false)).isEmpty();
    }
  }

  private static Finding older(long fromMs, long toMs) {
    return ResultForm.finding(
        FindingName.ENERGY, fromMs, toMs, Facts.of().put("day", "2026-01-01").build(), "older");
  }

  /** Days by another zone, once more beside those of this one, would be added up with them. */
  @Test
  void whatWasFoundInTheSameReadingsGoesAndWhatIsLeftOfReadingsThatAreGoneStays()
      throws StorageFailure {
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      for (long timeMs = T0; timeMs < T0 + 3 * DAY; timeMs += HOUR / 4) {
        log.writer().append("crate", at(timeMs));
      }
      log.writer().save("crate", older(T0 - 5 * DAY, T0 - 4 * DAY));
      log.writer().save("crate", older(T0 + 5 * HOUR, T0 + 29 * HOUR));
      log.writer().commit();

      Refold.run(log, pack, false);

      assertThat(log.history().findings("crate", FindingName.ENERGY, 0, Long.MAX_VALUE))
          .extracting(Finding::fromMs)
          .containsExactly(T0 - 5 * DAY, T0, T0 + DAY, T0 + 2 * DAY);
    }
  }
}
