package org.cellherd.sim;

import java.util.concurrent.atomic.AtomicLong;
import java.util.function.LongUnaryOperator;
import org.cellherd.pack.TimeSource;

/**
 * A clock for simulated runs: who waits makes it jump, so that a night passes as fast as it can be
 * worked on. Any thread may ask; one thread should wait.
 */
public final class JumpingTime implements TimeSource {

  private static final long NANOS_PER_MS = 1_000_000;

  private final long startMs;
  private final LongUnaryOperator wall;
  private final AtomicLong nanos = new AtomicLong();

  /** A clock that begins at a time in ms UTC. */
  public JumpingTime(long startMs) {
    this(startMs, LongUnaryOperator.identity());
  }

  /**
   * A clock whose wall time is wrong.
   *
   * @param wall what the wall clock shows at a true time, both ms UTC
   */
  public JumpingTime(long startMs, LongUnaryOperator wall) {
    this.startMs = startMs;
    this.wall = wall;
  }

  /** True simulated time, ms UTC. */
  public long trueMs() {
    return startMs + nanos.get() / NANOS_PER_MS;
  }

  @Override
  public long wallMs() {
    return wall.applyAsLong(trueMs());
  }

  @Override
  public long monotonicNanos() {
    return nanos.get();
  }

  @Override
  public boolean isWallSure() {
    return wallMs() == trueMs();
  }

  @Override
  public void sleepNanos(long duration) {
    nanos.addAndGet(Math.max(0, duration));
  }
}
