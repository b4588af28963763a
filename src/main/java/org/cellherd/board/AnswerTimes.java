package org.cellherd.board;

import org.cellherd.protocol.Patience;

/**
 * How long an answer of one board is waited for. Where no patience is stated, that is three times
 * as long as it took at most within a day or two: a lost answer is then known at a fast clock.
 * Where a late one may pass for the answer to another question, only the same question is asked so
 * soon again. One thread.
 */
final class AnswerTimes {
  /** Of a board that may have become slow the third question in a row is waited for in full. */
  private static final int SHORT_IN_A_ROW = 2;

  private static final long DAY_NANOS = 86_400_000_000_000L;

  private final PollSettings settings;
  private final long usualNanos;
  private final boolean isMeasured;
  private final boolean isCut;
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
   * @param isAlone true where no other board of its line is due meanwhile
   * @param isTold true where a late answer cannot pass for the one to another question
   */
  AnswerTimes(
      PollSettings settings, Patience stated, boolean isAlone, boolean isTold, long nowNanos) {
    this.settings = settings;
    this.usualNanos = settings.patienceMs() * 1_000_000L;
    this.wholeNanos = settings.patienceMs(stated) * 1_000_000L;
    // Where a board needs quiet after a miss, asking again would take longer than the wait saves.
    boolean mayAskSoon = isTold || stated.quietAfterMissMs() == 0;
    this.isMeasured = isAlone && mayAskSoon && stated.answerWithinMs().isEmpty();
    this.isCut = isAlone && isTold;
    this.dayEnds = nowNanos + DAY_NANOS;
    this.strayUntil = nowNanos;
  }

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

  /** Longer than an answer takes, as far as that is known: then the next thing is asked, ns. */
  long longestNanos() {
    return isCut ? noticedNanos() : wholeNanos;
  }

  /** After so long an answer is taken for lost, and the same may be asked again, ns. */
  long noticedNanos() {
    return isMeasured && count == PollSettings.MEASURED ? settledNanos() : wholeNanos;
  }

  /** So long after an answer a further one has come that was under way before it, ns. */
  long settledNanos() {
    return Math.min(wholeNanos, settings.measuredNanos(Math.max(today, yesterday)));
  }

  /** So often one question may be asked again before its answer is waited for in full. */
  int repeats() {
    return isCut ? 0 : SHORT_IN_A_ROW;
  }

  /** How long the next answer is waited for, ns. */
  long waitNanos() {
    return givenUp < SHORT_IN_A_ROW ? longestNanos() : wholeNanos;
  }
}
