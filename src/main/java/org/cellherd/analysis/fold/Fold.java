package org.cellherd.analysis.fold;

import java.util.Set;
import org.cellherd.analysis.FindingName;
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

  /**
   * Which fold it is, for the states that are saved of it.
   *
   * @param name what it finds, by which its state is found again
   * @param version raised whenever its state or what it makes of the log changes: the log is then
   *     read again for this fold and those that rest on it, the others go on from their states
   * @param restsOn folds whose findings or values it takes in
   */
  public record Kind(FindingName name, int version, Set<FindingName> restsOn) {

    /** A fold that looks at the log alone. */
    public static Kind of(FindingName name, int version) {
      return new Kind(name, version, Set.of());
    }
  }
}
