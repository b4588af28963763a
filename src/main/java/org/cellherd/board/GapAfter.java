package org.cellherd.board;

/**
 * What must go by before a board that was heard is called silent.
 *
 * @param misses readings in a row that did not come
 * @param lostNanos how long one lost answer is waited for, ns; 0 where the line is shared, so that
 *     a board that is gone does not hold up the others, or where nobody asks
 */
record GapAfter(int misses, long lostNanos) {

  static GapAfter of(PollSettings settings, BoardOnLine board, boolean isAlone) {
    boolean isWaitedFor = isAlone && !board.dialogue().isListenOnly();
    long patienceMs = isWaitedFor ? settings.patienceMs(board.dialogue().patience()) : 0;
    return new GapAfter(settings.gapAfterMisses(), patienceMs * 1_000_000);
  }

  /** A silence that lasts so long is a gap, ns: one lost answer is none. */
  long nanos(long usualNanos) {
    // It is waited for in full, then the next question has its time.
    long lost = lostNanos == 0 ? 0 : lostNanos + 2 * usualNanos;
    return Math.max(misses * usualNanos, lost);
  }
}
