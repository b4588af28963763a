package org.cellherd.app.daemon;

import java.util.Optional;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;

/**
 * The clock of one run: wall time by an anchor (monotonic, wall), so that durations never jump.
 * Lines stamp what they hear with {@link #lineMs}, whose anchor never moves; the thread that owns
 * the log brings these times up to date with {@link #wall}, so that nothing heard before a step of
 * the clock can be dated by the new anchor, whatever waits in a queue.
 *
 * <p>{@link #lineMs} is for any thread, the rest belongs to the owner's.
 */
public final class SessionClock {

  /** A wall clock that strays further from the anchor has been set by somebody. */
  static final long STEP_MS = 2_000;

  /** The system tells its time since boot in hundredths of a second. */
  private static final long BOOT_RESOLUTION_MS = 50;

  private static final long NANOS_PER_MS = 1_000_000;

  private final TimeSource time;
  private final long startNanos;
  private final long startMs;
  private long offsetMs;
  private boolean sure;
  private long aheadOfBootMs;

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
    this.startNanos = time.monotonicNanos();
    this.startMs = believable ? wall : newestStoredMs + 1;
    this.sure = believable && time.isWallSure();
    this.aheadOfBootMs = bootMinusMonotonicMs();
  }

  /** Now by the run's first anchor, ms UTC: for the lines. */
  public long lineMs() {
    return startMs + (time.monotonicNanos() - startNanos) / NANOS_PER_MS;
  }

  /** Now, ms UTC. */
  public long nowMs() {
    return lineMs() + offsetMs;
  }

  /** True when the wall clock was synchronised at the anchor. */
  public boolean isSure() {
    return sure;
  }

  /** An entry from a line, dated by today's anchor. */
  public LogEntry wall(LogEntry heard) {
    if (offsetMs == 0) {
      return heard;
    }
    if (heard instanceof Reading reading) {
      return reading.atTime(reading.timeMs() + offsetMs);
    }
    if (heard instanceof Gap gap) {
      return new Gap(gap.fromMs() + offsetMs, gap.toMs() + offsetMs, gap.cause());
    }
    return heard;
  }

  /**
   * Compares the wall clock with the anchor. The answer is a gap when the computer was suspended,
   * and a clock step when somebody set the clock. A step back is not followed unless the kernel
   * vouches for the clock.
   */
  public Optional<LogEntry> check() {
    long now = nowMs();
    long slept = bootMinusMonotonicMs() - aheadOfBootMs;
    if (slept > STEP_MS) {
      aheadOfBootMs += slept;
      offsetMs += slept;
      return Optional.of(new Gap(now, now + slept, Gap.Cause.NOT_RUNNING));
    }
    if (slept > BOOT_RESOLUTION_MS || slept < -BOOT_RESOLUTION_MS) {
      aheadOfBootMs += slept;
    }
    long stray = time.wallMs() - now;
    boolean wallSure = time.isWallSure();
    if (Math.abs(stray) < STEP_MS) {
      sure |= wallSure;
      return Optional.empty();
    }
    if (stray < 0 && !wallSure) {
      return Optional.empty();
    }
    offsetMs += stray;
    sure = wallSure;
    return Optional.of(new ClockStep(now, now + stray));
  }

  private long bootMinusMonotonicMs() {
    return (time.sinceBootNanos() - time.monotonicNanos()) / NANOS_PER_MS;
  }
}
