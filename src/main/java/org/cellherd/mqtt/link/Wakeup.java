package org.cellherd.mqtt.link;

import java.util.concurrent.Semaphore;
import java.util.concurrent.TimeUnit;

/** Wakes the client's thread from any other. A signal before the wait is not lost. */
public final class Wakeup {

  private final Semaphore signals = new Semaphore(0);
  private volatile boolean stopping;

  /** Something is to be done. */
  public void signal() {
    // One is as good as many: where nobody waits they would be counted for ever.
    signals.drainPermits();
    signals.release();
  }

  /** The end is wanted. */
  public void stop() {
    stopping = true;
    signal();
  }

  /** True once the end is wanted. */
  public boolean isStopping() {
    return stopping;
  }

  /** Waits for a signal, at most this long; takes the signal. */
  public void await(long nanos) throws InterruptedException {
    if (signals.tryAcquire(nanos, TimeUnit.NANOSECONDS)) {
      signals.drainPermits();
    }
  }

  /** Waits for a signal, at most this many ms; takes the signal. */
  public void awaitMs(long ms) throws InterruptedException {
    await(TimeUnit.MILLISECONDS.toNanos(ms));
  }
}
