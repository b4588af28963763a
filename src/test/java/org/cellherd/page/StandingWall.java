package org.cellherd.page;

import org.cellherd.ComputerTime;
import org.cellherd.pack.TimeSource;

/** The computer's clock, but for the time on the wall, which a test sets. */
final class StandingWall implements TimeSource {

  private final TimeSource real = new ComputerTime();
  private volatile long wallMs;
  private volatile long aheadNanos;

  StandingWall(long wallMs) {
    this.wallMs = wallMs;
  }

  void set(long ms) {
    wallMs = ms;
  }

  /** Lets readings grow old at once. */
  void leap(long ms) {
    wallMs += ms;
    aheadNanos += ms * 1_000_000;
  }

  @Override
  public long wallMs() {
    return wallMs;
  }

  @Override
  public long monotonicNanos() {
    return real.monotonicNanos() + aheadNanos;
  }

  @Override
  public boolean isWallSure() {
    return true;
  }

  @Override
  public void sleepNanos(long nanos) throws InterruptedException {
    real.sleepNanos(nanos);
  }
}
