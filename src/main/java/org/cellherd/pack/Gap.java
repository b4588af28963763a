package org.cellherd.pack;

/**
 * Nothing was heard from the board between two times. While a silence lasts, the daemon may log it
 * several times with the same start and a later end; a fold must come to the same result whether it
 * sees one gap or its pieces.
 *
 * @param fromMs time of the last thing heard, ms UTC
 * @param toMs end of the silence so far, ms UTC, not before {@code fromMs}
 * @param cause why, as far as known
 */
public record Gap(long fromMs, long toMs, Cause cause) implements LogEntry {

  /** Why nothing was heard. */
  public enum Cause implements Worded {
    /** The serial port or host is not there. */
    PORT_MISSING,
    /** The port is there but another program holds it, or it may not be opened. */
    PORT_REFUSED,
    /** The line is open and silent. */
    NO_BYTES,
    /** Bytes come, but no frame passes its check. */
    BAD_CHECKSUM,
    /** Frames come, but not the answer to our request, or not from our board. */
    WRONG_ANSWER,
    /** The board answers that it cannot or will not, such as by a Modbus exception. */
    DECLINED,
    /** cellherd itself was not running, or the computer was suspended. */
    NOT_RUNNING,
    /** Readings came faster than they could be worked on and were skipped. */
    SKIPPED,
    /** The log does not say. */
    UNKNOWN;
  }

  /** Refuses an end before the start. */
  public Gap {
    if (toMs < fromMs) {
      throw new IllegalArgumentException("gap ends at " + toMs + " before its start " + fromMs);
    }
  }

  @Override
  public long timeMs() {
    return toMs;
  }

  @Override
  public <R> R fold(Cases<R> cases) {
    return cases.gap(this);
  }
}
