package org.cellherd.board;

/**
 * What must go by before a board that was heard is called silent.
 *
 * @param misses readings in a row that did not come
 * @param isWaitedFor true where one lost answer is waited for: not where the line is shared, so
 *     that a board that is gone does not hold up the others, nor where nobody asks
 */
record GapAfter(int misses, boolean isWaitedFor) {

  static GapAfter of(PollSettings settings, BoardOnLine board, boolean isAlone) {
    return new GapAfter(settings.gapAfterMisses(), isAlone && !board.dialogue().isListenOnly());
  }

  /** A silence that lasts so long is a gap, ns: one lost answer, waited for so long, is none. */
  long nanos(long usualNanos, long waitNanos) {
    // It is waited for in full, then the next question has its time.
    long lost = isWaitedFor ? waitNanos + 2 * usualNanos : 0;
    return Math.max(misses * usualNanos, lost);
  }
}
