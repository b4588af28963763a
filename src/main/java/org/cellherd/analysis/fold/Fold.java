package org.cellherd.analysis.fold;

import org.cellherd.analysis.state.State;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.pack.LogEntry;

/**
 * A computation over the log of one pack: constant memory, no clock, no input or output. The same
 * code runs live, after a restart and over the store. Belongs to one thread.
 *
 * <p>The rule that every fold keeps: feeding it entries 1..n, saving, restoring into a new instance
 * and feeding n+1..m gives exactly the state of feeding 1..m.
 */
public interface Fold {

  /** Takes the next entry, in order of happening. */
  void accept(LogEntry entry);

  /**
   * Describes the whole state, to save it and to restore it into a fold that has seen nothing.
   *
   * @throws StateMismatch when what is restored is not a state of this fold
   */
  void state(State io);
}
