package org.cellherd;

import java.util.concurrent.TimeUnit;
import org.cellherd.pack.TimeSource;

/** The computer's own clock, for tests that talk to real programs. */
public final class ComputerTime implements TimeSource {

  private final long aheadMs;

  /** The clock as it is. */
  public ComputerTime() {
    this(0);
  }

  /** A wall clock that is wrong by so much. */
  public ComputerTime(long aheadMs) {
    this.aheadMs = aheadMs;
  }

  @Override
  public long wallMs() {
    return System.currentTimeMillis() + aheadMs;
  }

  @Override
  public long monotonicNanos() {
    return System.nanoTime();
  }

  @Override
  public boolean isWallSure() {
    return true;
  }

  @Override
  public void sleepNanos(long nanos) throws InterruptedException {
    TimeUnit.NANOSECONDS.sleep(nanos);
  }
}
