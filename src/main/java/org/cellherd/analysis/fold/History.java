package org.cellherd.analysis.fold;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.StorageFailure;

/** The stored log as the analyses see it; the store implements it. All times ms UTC. */
public interface History {

  /** Hands over a pack's entries with {@code fromMs <= time < toMs}, in order of happening. */
  void replay(String pack, long fromMs, long toMs, Consumer<LogEntry> consumer)
      throws StorageFailure;

  /** Findings of a kind whose end lies in {@code fromMs <= toMs < toMs}, oldest first. */
  List<Finding> findings(String pack, FindingName name, long fromMs, long toMs)
      throws StorageFailure;

  /** The newest saved state of a fold at or before a time, or empty. */
  Optional<Snapshot> snapshot(String pack, String fold, long notAfterMs) throws StorageFailure;

  /**
   * Hands over the entries that a saved state has not taken, up to {@code toMs}. Right also where
   * the clock went back after the state was saved, which times alone cannot tell.
   */
  void replayAfter(String pack, Snapshot snapshot, long toMs, Consumer<LogEntry> consumer)
      throws StorageFailure;

  /**
   * A saved state: the fold had taken exactly the entries that come before {@code atMs} and no
   * later stretch.
   *
   * @param atMs replay goes on from here
   * @param stretch which stretch of the log it was taken in, 0 when not known
   * @param state what it remembered
   */
  record Snapshot(long atMs, long stretch, SavedState state) {}
}
