package org.cellherd.app.daemon;

import java.util.concurrent.Semaphore;
import org.cellherd.Await;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.TimeSource;

/** A clock for another thread: each of its waits lasts until the test lets it pass. */
final class Turns implements TimeSource {
  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
  private final Semaphore passes = new Semaphore(0);
  private final Semaphore waits = new Semaphore(0);

  /** Returns when the thread waits, at first and after each pass. */
  void awaitWait() {
    Await.until("the thread waits", waits::tryAcquire);
  }

  /** The process is stopped for so long. */
  void standStill(long nanos) {
    time.advanceNanos(nanos);
  }

  /** Lets the wait pass. */
  void pass() {
    passes.release();
  }

  @Override
  public void sleepNanos(long nanos) throws InterruptedException {
    waits.release();
    passes.acquire();
    time.advanceNanos(nanos);
  }

  @Override
  public long wallMs() {
    return time.wallMs();
  }

  @Override
  public long monotonicNanos() {
    return time.monotonicNanos();
  }

  @Override
  public boolean isWallSure() {
    return true;
  }
}
