package org.cellherd.board.capture;

/**
 * What counts as a gap in a capture.
 *
 * @param gapAfterUnanswered questions in a row without a reading
 * @param leastGapMs a pause between two readings of at most this is none, ms
 * @param pauseMs a longer pause ends a message that only silence ends, ms
 * @param longestPauseMs a longer pause ends any message, ms
 */
record ReplaySettings(int gapAfterUnanswered, long leastGapMs, long pauseMs, long longestPauseMs) {

  /** As a poller with its usual settings: three polls of three questions each; 10 s; 20 ms. */
  public static final ReplaySettings DEFAULT = new ReplaySettings(9, 10_000, 20, 320);
}
