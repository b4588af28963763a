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
  private final Known known;
  private final boolean isLogAhead;
  private boolean isWallBetter;
  private final long startNanos;
  private final long startMs;
  private long offsetMs;
  private boolean sure;
  private long aheadOfBootMs;

  /**
   * What the log knows of the time, ms UTC.
   *
   * @param newestMs newest time in it, or {@link Long#MIN_VALUE}: a wall clock before it is never
   *     believed and the run goes on just after it
   * @param floorMs no right clock is before this
   */
  public record Known(long newestMs, long floorMs) {}

  /** Anchors the run by all that the log knows. */
  public SessionClock(TimeSource time, Known known) {
    this.time = time;
    this.known = known;
    long newestStoredMs = known.newestMs();
    long wall = time.wallMs();
    boolean believable = wall >= newestStoredMs;
    this.isLogAhead = !believable;
    this.isWallBetter = !believable && wall >= known.floorMs();
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
    if (stray < 0 && !wallSure && !isWallBetter) {
      return Optional.empty();
    }
    isWallBetter = false;
    offsetMs += stray;
    sure = wallSure;
    return Optional.of(new ClockStep(now, now + stray));
  }

  /** By how much the log is ahead of this computer's clock at the start, ms; else 0. */
  public long logAheadMs() {
    return isLogAhead ? Math.max(0, known.newestMs() - time.wallMs()) : 0;
  }

  /**
   * True when the wall clock, although nothing vouches for it, is better than a log ahead: no run
   * ever heard anything later. A computer without a clock of its own may start months behind its
   * own log, so the readings of runs count more than such a clock. Asked at the start only: later
   * it may have passed them.
   */
  boolean isWallBetter() {
    return isWallBetter;
  }

  private long bootMinusMonotonicMs() {
    return (time.sinceBootNanos() - time.monotonicNanos()) / NANOS_PER_MS;
  }
}
