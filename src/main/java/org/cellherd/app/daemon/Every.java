package org.cellherd.app.daemon;

import java.time.Duration;

/**
 * When something that is done again and again is due, by the monotonic clock: due at once, then at
 * equal distances at least. One thread.
 */
final class Every {

  private final long everyNanos;
  private boolean hasBeen;
  private long lastNanos;

  Every(Duration distance) {
    this.everyNanos = distance.toNanos();
  }

  /** True when it is due; it then counts as done now. */
  boolean isDue(long nowNanos) {
    if (hasBeen && nowNanos - lastNanos < everyNanos) {
      return false;
    }
    done(nowNanos);
    return true;
  }

  /** It was done now for another reason. */
  void done(long nowNanos) {
    hasBeen = true;
    lastNanos = nowNanos;
  }
}
