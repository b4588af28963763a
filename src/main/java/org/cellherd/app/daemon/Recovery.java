package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.time.Duration;
import java.util.Optional;
import org.cellherd.analysis.fold.History;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.app.logged.FoundAgain;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.LogWriter;

/**
 * Brings a pack's analysis and rules to where the log ends: the newest saved state, then the
 * entries since. A state of another plan or version is left alone and the log is read instead: a
 * long one only its latest day, so that the pack is watched again soon, and the whole of it by
 * {@link WholeLog}.
 */
final class Recovery {

  static final String ANALYSIS = "analysis";
  static final String ALERTS = "alerts";

  /** What is read before a pack is watched, in a log without a state of ours. */
  static final long LATEST_MS = Duration.ofDays(1).toMillis();

  private static final Logger LOG = System.getLogger(Recovery.class.getName());

  private final LogFile file;
  private final History history;

  Recovery(LogFile file) {
    this.file = file;
    this.history = file.history();
  }

  /**
   * Replays into the watch; events that come of it were told by an earlier run.
   *
   * @return false when the watch knows only the latest day
   */
  boolean restore(PackWatch watch) throws StorageFailure {
    Optional<History.Snapshot> from = restoreStates(watch);
    if (from.isPresent()) {
      history.replayAfter(watch.id(), from.get(), Long.MAX_VALUE, entry -> watch.accept(entry));
      return !watch.isLacking() || restoreLacking(watch);
    }
    watch.reset();
    return readLatest(watch);
  }

  /** The folds whose states are of another version; the others have theirs. */
  private boolean restoreLacking(PackWatch watch) throws StorageFailure {
    PackWatch lacking = watch.ofLacking();
    boolean isWhole = readLatest(lacking);
    watch.become(lacking);
    return isWhole;
  }

  /** Reads the latest day, or all of a log that is no longer; true when that was all. */
  private boolean readLatest(PackWatch watch) throws StorageFailure {
    long newest = file.newestMs(watch.id()).orElse(0);
    long begin = newest - LATEST_MS;
    boolean isLong = file.oldestMs(watch.id()).orElse(newest) < begin;
    Optional<History.Snapshot> known =
        isLong && watch.isJudging() ? knownBefore(watch, begin) : Optional.empty();
    if (known.isPresent()) {
      history.replayAfter(watch.id(), known.get(), Long.MAX_VALUE, entry -> watch.accept(entry));
    } else {
      long fromMs = isLong ? begin : Long.MIN_VALUE;
      FoundAgain found = new FoundAgain(watch.analysis());
      history.replay(watch.id(), fromMs, Long.MAX_VALUE, entry -> watch.accept(entry, found));
      if (!isLong) {
        watch.saveAgain(file.writer(), found);
      }
    }
    return !isLong;
  }

  /** What the analyses knew a day ago, where only the rules lack a state, as after an import. */
  private Optional<History.Snapshot> knownBefore(PackWatch watch, long timeMs)
      throws StorageFailure {
    Optional<History.Snapshot> known =
        history
            .snapshot(watch.id(), ANALYSIS, timeMs)
            .filter(state -> state.atMs() > timeMs - LATEST_MS);
    try {
      known.ifPresent(state -> state.state().into(watch.analysis()::state));
    } catch (StateMismatch otherPlan) {
      watch.reset();
      return Optional.empty();
    }
    if (watch.isLacking()) {
      watch.reset();
      return Optional.empty();
    }
    return known;
  }

  private Optional<History.Snapshot> restoreStates(PackWatch watch) throws StorageFailure {
    Optional<History.Snapshot> analysis = history.snapshot(watch.id(), ANALYSIS, Long.MAX_VALUE);
    Optional<History.Snapshot> alerts = history.snapshot(watch.id(), ALERTS, Long.MAX_VALUE);
    if (analysis.isEmpty() || alerts.isEmpty() || analysis.get().atMs() != alerts.get().atMs()) {
      return Optional.empty();
    }
    try {
      analysis.get().state().into(watch.analysis()::state);
      alerts.get().state().into(watch.alerts()::state);
      return analysis;
    } catch (StateMismatch otherPlan) {
      LOG.log(
          Level.INFO,
          "pack "
              + watch.id()
              + ": the saved results are of another version or plan, reading the whole log again ("
              + otherPlan.getMessage()
              + ")");
      return Optional.empty();
    }
  }

  /** Saves the state of a watch that has seen everything up to its latest entry. */
  static void save(PackWatch watch, LogWriter writer) {
    long next = watch.analysis().timeMs() + 1;
    writer.saveSnapshot(watch.id(), ANALYSIS, next, SavedState.of(watch.analysis()::state));
    if (watch.isJudging()) {
      writer.saveSnapshot(watch.id(), ALERTS, next, SavedState.of(watch.alerts()::state));
    }
  }
}
