package org.cellherd.board;

import org.cellherd.protocol.Patience;

/**
 * How long an answer of one board is waited for. Where a late one cannot pass for the answer to
 * another question, and no patience is stated, that is three times as long as it took at most
 * within a day or two: a lost answer then costs one reading of a fast clock, not five. One thread.
 */
final class AnswerTimes {
  /** Of a board that may have become slow the third question in a row is waited for in full. */
  private static final int SHORT_IN_A_ROW = 2;

  private static final long DAY_NANOS = 86_400_000_000_000L;

  private final PollSettings settings;
  private final long usualNanos;
  private final boolean isMeasured;
  private long wholeNanos;
  private long dayEnds;
  private long today;
  private long yesterday;
  private int count;
  private int givenUp;
  private long strayUntil;

  /**
   * Nothing was measured yet.
   *
   * @param stated what the description says of the board's patience
   * @param isCut true where a wait may be cut short: a late answer cannot pass for another one
   */
  AnswerTimes(PollSettings settings, Patience stated, boolean isCut, long nowNanos) {
    this.settings = settings;
    this.usualNanos = settings.patienceMs() * 1_000_000L;
    this.wholeNanos = settings.patienceMs(stated) * 1_000_000L;
    this.isMeasured = isCut && stated.answerWithinMs().isEmpty();
    this.dayEnds = nowNanos + DAY_NANOS;
    this.strayUntil = nowNanos;
  }

  /** An answer began so long after its question. */
  void took(long nanos, long nowNanos) {
    if (nowNanos - dayEnds >= 0) {
      yesterday = today;
      today = 0;
      dayEnds = nowNanos + DAY_NANOS;
    }
    today = Math.max(today, nanos);
    count = Math.min(PollSettings.MEASURED, count + 1);
    givenUp = 0;
  }

  /** No byte came to a question that was asked then: its answer may come all the same. */
  void missed(long askedNanos) {
    givenUp++;
    strayUntil = askedNanos + Math.max(wholeNanos, usualNanos);
  }

  /** True while the answer to a question that was given up may still come. */
  boolean mayHearStray(long nowNanos) {
    return strayUntil - nowNanos > 0;
  }

  /** True when bytes that lie on the line before a question may be such an answer. */
  boolean isOwed(long nowNanos) {
    return givenUp > 0 || mayHearStray(nowNanos);
  }

  /**
   * It came. Answers are not given up so early again.
   *
   * @return true when that is later than the description states
   */
  boolean heardStray(long nowNanos) {
    boolean isNew = wholeNanos < usualNanos;
    wholeNanos = Math.max(wholeNanos, usualNanos);
    took(wholeNanos, nowNanos);
    return isNew;
  }

  /** How long an answer may take, by what is stated or was learnt, ns. */
  long wholeNanos() {
    return wholeNanos;
  }

  /** Longer than an answer takes, as far as that is known, ns. */
  long longestNanos() {
    return isMeasured && count == PollSettings.MEASURED ? settledNanos() : wholeNanos;
  }

  /** So long after an answer a further one has come that was under way before it, ns. */
  long settledNanos() {
    return Math.min(wholeNanos, settings.measuredNanos(Math.max(today, yesterday)));
  }

  /** How long the next answer is waited for, ns. */
  long waitNanos() {
    return givenUp < SHORT_IN_A_ROW ? longestNanos() : wholeNanos;
  }
}
