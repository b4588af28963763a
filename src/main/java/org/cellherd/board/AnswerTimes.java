package org.cellherd.board;

/**
 * How long an answer of one board is waited for. Where a late one cannot pass for the answer to
 * another question, and no patience is stated, that is three times as long as it took at most
 * within a day or two: a lost answer then costs one reading of a fast clock, not five. One thread.
 */
final class AnswerTimes {
  /** None of so many took longer: the next does in one of 65 cases at most (rule of succession). */
  private static final int KNOWN = 64;

  /** That, to the third power, for three times as long: where long ones are rarer the longer. */
  private static final int MARGIN = 3;

  /** Of a board that may have become slow the third question in a row is waited for in full. */
  private static final int SHORT_IN_A_ROW = 2;

  private static final long DAY_NANOS = 86_400_000_000_000L;

  private final long wholeNanos;
  private final long leastNanos;
  private final boolean isMeasured;
  private long dayEnds;
  private long today;
  private long yesterday;
  private int count;
  private int givenUp;

  /**
   * Nothing was measured yet.
   *
   * @param wholeNanos how long an answer may take to begin, ns
   * @param leastNanos how long one is waited for at least, ns
   * @param isMeasured false where that is stated, or must not be cut short
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
    givenUp = 0;
  }

  /** No byte came to a question. */
  void missed() {
    givenUp++;
  }

  /** Bytes were found on the line before a question: after one that was given up they are its. */
  void foundStale(long nowNanos) {
    if (givenUp > 0) {
      took(wholeNanos, nowNanos);
    }
  }

  /** How long an answer may take, whatever was measured, ns. */
  long wholeNanos() {
    return wholeNanos;
  }

  /** Longer than an answer takes, as far as that is known, ns. */
  long longestNanos() {
    return isMeasured && count == KNOWN
        ? Math.min(wholeNanos, Math.max(leastNanos, MARGIN * Math.max(today, yesterday)))
        : wholeNanos;
  }

  /** How long the next answer is waited for, ns. */
  long waitNanos() {
    return givenUp < SHORT_IN_A_ROW ? longestNanos() : wholeNanos;
  }
}
