package org.cellherd.board.capture;

/**
 * What counts as a gap in a capture.
 *
 * @param gapAfterUnanswered questions in a row without a reading
 * @param leastGapMs a pause between two readings of at most this is none, ms
 * @param pauseMs a pause inside a message is at most this long, ms
 */
public record ReplaySettings(int gapAfterUnanswered, long leastGapMs, long pauseMs) {

  /** As a poller with its usual settings: three polls of three questions each; 10 s; 20 ms. */
  public static final ReplaySettings DEFAULT = new ReplaySettings(9, 10_000, 20);
}
