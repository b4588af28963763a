package org.cellherd.board;

/**
 * How long an answer of one board is waited for. A board whose description states no patience and
 * that has the line alone is waited for three times as long as it took at most within a day or two:
 * then a lost answer costs no reading of a slow clock, and a board that writes to its memory once a
 * day is known to. One thread.
 */
final class AnswerTimes {
  /** None of so many took longer: the next does in one of 65 cases at most (rule of succession). */
  private static final int KNOWN = 64;

  /** That, to the third power, for three times as long: where long ones are rarer the longer. */
  private static final int MARGIN = 3;

  private static final long DAY_NANOS = 86_400_000_000_000L;

  private final long wholeNanos;
  private final long leastNanos;
  private final boolean isMeasured;
  private long dayEnds;
  private long today;
  private long yesterday;
  private int count;

  /**
   * Nothing was measured yet.
   *
   * @param wholeNanos how long an answer may take to begin, ns
   * @param leastNanos how long one is waited for at least, ns
   * @param isMeasured false where that is stated, or not to be cut short
   */
  AnswerTimes(long wholeNanos, long leastNanos, boolean isMeasured, long nowNanos) {
    this.wholeNanos = wholeNanos;
    this.leastNanos = Math.min(leastNanos, wholeNanos);
    this.isMeasured = isMeasured;
    this.dayEnds = nowNanos + DAY_NANOS;
  }

  /** An answer began so long after its question. */
  void took(long nanos, long nowNanos) {
    if (nowNanos - dayEnds >= 0) {
      yesterday = today;
      today = 0;
      dayEnds = nowNanos + DAY_NANOS;
    }
    today = Math.max(today, nanos);
    count = Math.min(KNOWN, count + 1);
  }

  /** An answer came after it had been given up. */
  void cameLate(long nowNanos) {
    took(wholeNanos, nowNanos);
  }

  /** How long an answer may take, whatever was measured, ns. */
  long wholeNanos() {
    return wholeNanos;
  }

  /** Longer than an answer takes by what was measured, ns. */
  long longestNanos() {
    return MARGIN * Math.max(today, yesterday);
  }

  /** True when an answer may still come after it was given up. */
  boolean isCutShort() {
    return waitNanos() < wholeNanos;
  }

  /** How long an answer is waited for, ns. */
  long waitNanos() {
    return isMeasured && count == KNOWN
        ? Math.min(wholeNanos, Math.max(leastNanos, longestNanos()))
        : wholeNanos;
  }
}
