package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.Optional;
import org.cellherd.analysis.History;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateWriter;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogWriter;

/**
 * Brings a pack's analysis and rules to where the log ends: the newest saved state, then the
 * entries since. A state of another plan or version is left alone and the whole log is read
 * instead.
 */
final class Recovery {

  static final String ANALYSIS = "analysis";
  static final String ALERTS = "alerts";

  private static final Logger LOG = System.getLogger(Recovery.class.getName());

  private final History history;

  Recovery(History history) {
    this.history = history;
  }

  /** Replays into the watch; events that come of it were told by an earlier run. */
  void restore(PackWatch watch) throws StorageFailure {
    Optional<History.Snapshot> from = restoreStates(watch);
    if (from.isEmpty()) {
      watch.reset();
      history.replay(watch.id(), Long.MIN_VALUE, Long.MAX_VALUE, entry -> watch.accept(entry));
    } else {
      history.replayAfter(watch.id(), from.get(), Long.MAX_VALUE, entry -> watch.accept(entry));
    }
  }

  private Optional<History.Snapshot> restoreStates(PackWatch watch) throws StorageFailure {
    Optional<History.Snapshot> analysis = history.snapshot(watch.id(), ANALYSIS, Long.MAX_VALUE);
    Optional<History.Snapshot> alerts = history.snapshot(watch.id(), ALERTS, Long.MAX_VALUE);
    if (analysis.isEmpty() || alerts.isEmpty() || analysis.get().atMs() != alerts.get().atMs()) {
      return Optional.empty();
    }
    try {
      watch.analysis().restore(analysis.get().reader());
      watch.alerts().restore(alerts.get().reader());
      return analysis;
    } catch (StateMismatch otherPlan) {
      LOG.log(
          Level.INFO,
          "pack "
              + watch.id()
              + ": reading the whole log again, because "
              + otherPlan.getMessage());
      return Optional.empty();
    }
  }

  /** Saves the state of a watch that has seen everything up to its latest entry. */
  static void save(PackWatch watch, LogWriter writer) {
    long next = watch.analysis().timeMs() + 1;
    StateWriter analysis = new StateWriter();
    watch.analysis().save(analysis);
    StateWriter alerts = new StateWriter();
    watch.alerts().save(alerts);
    writer.saveSnapshot(watch.id(), ANALYSIS, next, analysis);
    writer.saveSnapshot(watch.id(), ALERTS, next, alerts);
  }
}
