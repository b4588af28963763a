package org.cellherd.sim;

import java.util.function.LongSupplier;
import org.cellherd.pack.TimeSource;

/** Simulated time that runs some times as fast as the monotonic clock. Any thread may ask. */
public final class SpeedClock implements LongSupplier {

  private static final double NANOS_PER_MS = 1e6;

  private final TimeSource time;
  private final long startMs;
  private final double speed;
  private final long startNanos;

  /**
   * A clock that begins now.
   *
   * @param startMs what it shows now, ms UTC
   * @param speed simulated seconds in one second, above 0
   */
  public SpeedClock(TimeSource time, long startMs, double speed) {
    if (!(speed > 0)) {
      throw new IllegalArgumentException("speed " + speed + ", must be above 0");
    }
    this.time = time;
    this.startMs = startMs;
    this.speed = speed;
    this.startNanos = time.monotonicNanos();
  }

  @Override
  public long getAsLong() {
    return startMs + Math.round((time.monotonicNanos() - startNanos) * speed / NANOS_PER_MS);
  }
}
