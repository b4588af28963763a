package org.cellherd.analysis.state;

/** A saved state does not belong to this fold, or is damaged: replay the log instead. */
public final class StateMismatch extends RuntimeException {
  public StateMismatch(String message) {
    super(message, null, false, false);
  }
}
