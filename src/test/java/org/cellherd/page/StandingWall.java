package org.cellherd.page;

import java.util.concurrent.atomic.AtomicLong;
import org.cellherd.ComputerTime;
import org.cellherd.pack.TimeSource;

/** The computer's clock, but for the time on the wall, which a test sets. */
final class StandingWall implements TimeSource {

  private final TimeSource real = new ComputerTime();
  private final AtomicLong wallMs;
  private final AtomicLong aheadNanos = new AtomicLong();

  StandingWall(long wallMs) {
    this.wallMs = new AtomicLong(wallMs);
  }

  /** Lets readings grow old at once. */
  void leap(long ms) {
    wallMs.addAndGet(ms);
    aheadNanos.addAndGet(ms * 1_000_000);
  }

  @Override
  public long wallMs() {
    return wallMs.get();
  }

  @Override
  public long monotonicNanos() {
    return real.monotonicNanos() + aheadNanos.get();
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
