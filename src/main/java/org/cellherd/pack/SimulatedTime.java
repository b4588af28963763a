package org.cellherd.pack;

/**
 * A clock that jumps: waiting on it takes no time. For accelerated and for repeatable runs.
 * Thread-safe.
 */
public final class SimulatedTime implements TimeSource {
  private static final long NANOS_PER_MS = 1_000_000L;

  private long nanos;
  private long wallAtZeroMs;
  private long asleepNanos;
  private boolean sure = true;

  /** A clock whose wall time begins at some ms UTC; its monotonic side begins at 0. */
  public SimulatedTime(long wallStartMs) {
    this.wallAtZeroMs = wallStartMs;
  }

  @Override
  public synchronized long wallMs() {
    return wallAtZeroMs + nanos / NANOS_PER_MS;
  }

  @Override
  public synchronized long monotonicNanos() {
    return nanos;
  }

  @Override
  public synchronized long sinceBootNanos() {
    return nanos + asleepNanos;
  }

  @Override
  public synchronized boolean isWallSure() {
    return sure;
  }

  @Override
  public void sleepNanos(long duration) throws InterruptedException {
    if (Thread.interrupted()) {
      throw new InterruptedException("interrupted while waiting on the simulated clock");
    }
    advanceNanos(Math.max(0, duration));
  }

  /**
   * Lets time pass.
   *
   * @throws IllegalArgumentException for a negative duration: the monotonic side never runs back
   */
  public synchronized void advanceNanos(long duration) {
    if (duration < 0) {
      throw new IllegalArgumentException("cannot advance by " + duration + " ns");
    }
    nanos += duration;
  }

  /** Lets time pass, in ms. */
  public void advanceMs(long ms) {
    advanceNanos(Math.multiplyExact(ms, NANOS_PER_MS));
  }

  /** Sets the wall clock forward or back by some ms; the monotonic side does not notice. */
  public synchronized void stepWallMs(long ms) {
    wallAtZeroMs += ms;
  }

  /** The computer sleeps for some ms: its monotonic clock stands still meanwhile. */
  public synchronized void suspend(long ms) {
    asleepNanos += Math.multiplyExact(ms, NANOS_PER_MS);
    wallAtZeroMs += ms;
  }

  /** Says whether the wall clock counts as synchronised. */
  public synchronized void setWallSure(boolean isSure) {
    sure = isSure;
  }
}
