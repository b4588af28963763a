package org.cellherd.app.daemon;

import java.util.Optional;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.TimeSource;

/**
 * The clock of one run: wall time by an anchor (monotonic, wall), so that durations never jump. A
 * step of the wall clock is found by {@link #check} and moves the anchor. Any thread may read; one
 * thread checks.
 */
public final class SessionClock {

  /** A wall clock that strays further from the anchor has been set by somebody. */
  static final long STEP_MS = 2_000;

  private final TimeSource time;
  private volatile Anchor anchor;

  private record Anchor(long monotonicNanos, long wallMs, boolean sure) {}

  /**
   * Anchors the run.
   *
   * @param newestStoredMs newest time in the log, ms UTC, or {@link Long#MIN_VALUE}: a wall clock
   *     before it is never believed and the run goes on just after it
   */
  public SessionClock(TimeSource time, long newestStoredMs) {
    this.time = time;
    long wall = time.wallMs();
    boolean believable = wall >= newestStoredMs;
    this.anchor =
        new Anchor(
            time.monotonicNanos(),
            believable ? wall : newestStoredMs + 1,
            believable && time.isWallSure());
  }

  /** Now by the anchor, ms UTC. */
  public long nowMs() {
    Anchor a = anchor;
    return a.wallMs + (time.monotonicNanos() - a.monotonicNanos) / 1_000_000;
  }

  /** True when the wall clock was synchronised at the anchor. */
  public boolean isSure() {
    return anchor.sure;
  }

  /**
   * Compares the wall clock with the anchor. A step that would lead behind what was already stored
   * is not followed unless the kernel vouches for the clock.
   */
  public Optional<ClockStep> check() {
    long now = nowMs();
    long wall = time.wallMs();
    boolean sure = time.isWallSure();
    if (Math.abs(wall - now) < STEP_MS) {
      if (sure && !anchor.sure) {
        anchor = new Anchor(anchor.monotonicNanos, anchor.wallMs, true);
      }
      return Optional.empty();
    }
    if (wall < now && !sure) {
      return Optional.empty();
    }
    anchor = new Anchor(time.monotonicNanos(), wall, sure);
    return Optional.of(new ClockStep(now, wall));
  }
}
