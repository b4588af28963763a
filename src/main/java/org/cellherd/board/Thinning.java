package org.cellherd.board;

/**
 * Which readings of a board that talks by itself are taken, so that it is heard no more often than
 * its pace. Belongs to one thread.
 */
final class Thinning {
  private long stepNanos;
  private boolean hasBegun;

  /**
   * True where a reading is taken. One may come half a pace early, so that a board whose own pace
   * is this one loses none to its jitter; on the whole no more are taken than the pace has steps.
   */
  boolean takes(long nowNanos, long paceNanos) {
    long due = stepNanos + paceNanos;
    if (hasBegun && nowNanos < due - paceNanos / 2) {
      return false;
    }
    stepNanos = hasBegun && nowNanos - due < paceNanos ? due : nowNanos;
    hasBegun = true;
    return true;
  }

  /** The next reading is taken. */
  void restart() {
    hasBegun = false;
  }
}
