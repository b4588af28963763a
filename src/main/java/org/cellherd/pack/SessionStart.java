package org.cellherd.pack;

/**
 * The daemon began to listen: a new run with a clock anchor of its own.
 *
 * @param timeMs ms UTC
 * @param session number of the run, rising, unique in the log
 * @param clockSure false when the wall clock could not be trusted at this time
 * @param clean true when the run before ended in order
 */
public record SessionStart(long timeMs, long session, boolean clockSure, boolean clean)
    implements LogEntry {
  @Override
  public <R> R fold(Cases<R> cases) {
    return cases.sessionStart(this);
  }
}
