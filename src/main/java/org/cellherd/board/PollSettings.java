package org.cellherd.board;

import org.cellherd.protocol.Patience;

/**
 * How patiently a line is polled.
 *
 * @param answerMs how long a pause may be in an answer, and how soon a silent board is given up
 *     where others of its line are due
 * @param patienceMs how long a board may think before its answer begins, wire time apart, unless
 *     its description says otherwise
 * @param retries how often a request is sent again in one poll
 */
public record PollSettings(int answerMs, int patienceMs, int retries) {

  /**
   * 300 ms in an answer, 3 s to begin it, 2 retries. Small controllers pause for a second or two
   * while they write to their memory (common practice, no source).
   */
  public static final PollSettings DEFAULT = new PollSettings(300, 3000, 2);

  /**
   * So many answers tell how long one takes at most: the next is longer than all of them in one of
   * 65 cases at most (rule of succession).
   */
  public static final int MEASURED = 64;

  /** That, to the third power, for three times as long: where long ones are rarer the longer. */
  private static final int MARGIN = 3;

  /** Refuses what would never end or never wait. */
  public PollSettings {
    within("answer_ms", answerMs, 1, 60_000);
    within("patience_ms", patienceMs, 1, 60_000);
    within("retries", retries, 0, 10);
  }

  /** How long a board may think before its answer begins, by its description or else by these. */
  long patienceMs(Patience stated) {
    return stated.answerWithinMs().orElse(patienceMs);
  }

  /** How long an answer is waited for where the longest of {@link #MEASURED} took so long, ns. */
  public long measuredNanos(long longestNanos) {
    return Math.max(answerMs * 1_000_000L, MARGIN * longestNanos);
  }

  private static void within(String name, int value, int low, int high) {
    if (value < low || value > high) {
      throw new IllegalArgumentException(name + " " + value + ", allowed " + low + " to " + high);
    }
  }
}
