package org.cellherd.analysis.plausible;

import org.cellherd.analysis.state.State;

/**
 * A condition with a delay both ways: holds once it has been true without a break for some time,
 * and until it has been false for as long.
 */
final class Since {
  private final long delayMs;
  private long fromMs = -1;
  private long falseFromMs = -1;
  private boolean isHeld;

  Since(long delayMs) {
    this.delayMs = delayMs;
  }

  void set(boolean isTrue, long upMs) {
    if (isTrue) {
      falseFromMs = -1;
      fromMs = fromMs < 0 ? upMs : fromMs;
      isHeld |= upMs - fromMs >= delayMs;
      return;
    }
    falseFromMs = falseFromMs < 0 ? upMs : falseFromMs;
    if (!isHeld || upMs - falseFromMs >= delayMs) {
      fromMs = -1;
      isHeld = false;
    }
  }

  boolean holds() {
    return isHeld;
  }

  /** Fold time of its beginning; -1 when it is not true. */
  long fromMs() {
    return fromMs;
  }

  void state(State io) {
    fromMs = io.number(fromMs);
    falseFromMs = io.number(falseFromMs);
    isHeld = io.flag(isHeld);
  }
}
