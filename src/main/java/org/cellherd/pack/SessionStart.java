package org.cellherd.pack;

/**
 * The daemon began to listen: a new run with a clock anchor of its own.
 *
 * @param timeMs ms UTC
 * @param session number of the run, rising, unique in the log
 * @param clockSure false when the wall clock could not be trusted at this time
 * @param before how the log goes on from what came before
 */
public record SessionStart(long timeMs, long session, boolean clockSure, Before before)
    implements LogEntry {

  /** How what a log held before came to its end. */
  public enum Before {
    /** The run before did not end in order. */
    CUT(0),
    /** The run before ended in order, or there was none. */
    ENDED(1),
    /** The log is a copy; what its original held after the copy was made is not in it. */
    COPIED(2);

    private final int number;

    Before(int number) {
      this.number = number;
    }

    /** As a log keeps it. */
    public int number() {
      return number;
    }

    /** What a log keeps as a number; what nobody wrote counts as cut. */
    public static Before of(int number) {
      return number == ENDED.number ? ENDED : number == COPIED.number ? COPIED : CUT;
    }
  }

  /** A start in the log that the run before wrote itself, which ended in order or not. */
  public SessionStart(long timeMs, long session, boolean clockSure, boolean clean) {
    this(timeMs, session, clockSure, clean ? Before.ENDED : Before.CUT);
  }

  @Override
  public <R> R fold(Cases<R> cases) {
    return cases.sessionStart(this);
  }
}
