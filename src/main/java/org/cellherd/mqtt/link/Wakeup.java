package org.cellherd.mqtt.link;

import java.util.concurrent.TimeUnit;
import java.util.concurrent.locks.Condition;
import java.util.concurrent.locks.ReentrantLock;

/** Wakes the client's thread from any other. A signal before the wait is not lost. */
public final class Wakeup {

  private final ReentrantLock lock = new ReentrantLock();
  private final Condition changed = lock.newCondition();
  private boolean signalled;
  private boolean stopping;

  /** Something is to be done. */
  public void signal() {
    lock.lock();
    try {
      signalled = true;
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** The end is wanted. */
  public void stop() {
    lock.lock();
    try {
      stopping = true;
      signalled = true;
      changed.signalAll();
    } finally {
      lock.unlock();
    }
  }

  /** True once the end is wanted. */
  public boolean isStopping() {
    lock.lock();
    try {
      return stopping;
    } finally {
      lock.unlock();
    }
  }

  /** Waits for a signal, at most this long; takes the signal. */
  public void await(long nanos) throws InterruptedException {
    lock.lock();
    try {
      long left = nanos;
      while (!signalled && left > 0) {
        left = changed.awaitNanos(left);
      }
      signalled = false;
    } finally {
      lock.unlock();
    }
  }

  /** Waits for a signal, at most this many ms; takes the signal. */
  public void awaitMs(long ms) throws InterruptedException {
    await(TimeUnit.MILLISECONDS.toNanos(ms));
  }
}
