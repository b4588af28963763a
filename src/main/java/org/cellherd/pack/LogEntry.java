package org.cellherd.pack;

/**
 * One entry of a pack's log, the input of every fold. Entries of one pack come in the order in
 * which they happened.
 *
 * <p>Times are ms UTC by the session's clock anchor: within a session and between clock steps,
 * differences of times are monotonic durations. A {@link ClockStep} says how to cross a new anchor;
 * nothing is ever interpolated across a {@link Gap} or a {@link SessionStart}.
 */
public sealed interface LogEntry permits Reading, Gap, SessionStart, ClockStep {

  /** When the entry happened (a gap: when it ended, so far), ms UTC. */
  long timeMs();

  /** Calls the one function that fits; the compiler sees to it that none is forgotten. */
  <R> R fold(Cases<R> cases);

  /** One function for each kind of entry. */
  interface Cases<R> {
    R reading(Reading reading);

    /** A stretch in which nothing was heard. */
    R gap(Gap gap);

    /** The daemon started. */
    R sessionStart(SessionStart start);

    /** The wall clock was set. */
    R clockStep(ClockStep step);
  }
}
