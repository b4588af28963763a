package org.cellherd.board;

/**
 * What must go by before a board that was heard is called silent.
 *
 * @param isWaitedFor true where one lost answer is waited for: not where the line is shared, so
 *     that a board that is gone does not hold up the others, nor where nobody asks
 */
record GapAfter(boolean isWaitedFor) {

  /** So many readings in a row that did not come make a gap. */
  private static final int MISSES = 3;

  static GapAfter of(BoardOnLine board, boolean isAlone) {
    return new GapAfter(isAlone && !board.dialogue().isListenOnly());
  }

  /** A silence that lasts so long is a gap, ns: one lost answer, waited for so long, is none. */
  long nanos(long usualNanos, long waitNanos) {
    // It is waited for in full, then the next question has its time.
    long lost = isWaitedFor ? waitNanos + 2 * usualNanos : 0;
    return Math.max(MISSES * usualNanos, lost);
  }
}
