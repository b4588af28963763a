package org.cellherd.board;

import java.util.concurrent.locks.LockSupport;
import org.cellherd.pack.TimeSource;

/** The computer's own clocks, for tests with real ports. */
public final class RealTime implements TimeSource {
  @Override
  public long wallMs() {
    return System.currentTimeMillis();
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
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
    LockSupport.parkNanos(Math.max(0, nanos));
    if (Thread.interrupted()) {
      throw new InterruptedException();
    }
  }
}
