package org.cellherd.board;

import org.cellherd.pack.Gap;

/** A line failed. The message names the line and what the system said. */
public final class LinkException extends Exception {
  private final Gap.Cause cause;

  public LinkException(Gap.Cause cause, String message) {
    super(message);
    this.cause = cause;
  }

  /** A failure of a kind, with what the system threw. */
  public LinkException(Gap.Cause cause, String message, Throwable thrown) {
    super(message, thrown);
    this.cause = cause;
  }

  /** The kind, as a gap in the log will name it. */
  public Gap.Cause kind() {
    return cause;
  }
}
