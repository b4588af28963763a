package org.cellherd.analysis;

import java.util.List;
import java.util.Optional;
import java.util.function.Consumer;
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
   * A saved state: the fold had taken exactly the entries that come before {@code atMs}.
   *
   * @param atMs replay goes on from here
   * @param reader the state, ready to be read once
   */
  record Snapshot(long atMs, StateReader reader) {}
}
