package org.cellherd.page.http;

import java.util.HashMap;
import java.util.Map;
import org.cellherd.pack.TimeSource;

/**
 * Frees the threads that write to somebody who takes nothing: there are few, and nobody may hold
 * one for ever. An interrupted write closes its connection. Any thread.
 */
public final class Patience implements AutoCloseable {

  private static final long MOST_NANOS = 8_000_000_000L;
  private static final long LOOK_EVERY_NANOS = 1_000_000_000L;

  private final TimeSource time;
  private final Map<Thread, Long> writing = new HashMap<>();
  private final Thread watch;

  /** Nobody writes yet. */
  public Patience(TimeSource time) {
    this.time = time;
    this.watch = new Thread(this::watch, "page-watch");
    watch.setDaemon(true);
    watch.start();
  }

  /** The calling thread begins to write, or has come a piece further. */
  public synchronized void begin() {
    writing.put(Thread.currentThread(), time.monotonicNanos());
  }

  /** The calling thread has written. */
  public synchronized void end() {
    writing.remove(Thread.currentThread());
  }

  private void watch() {
    try {
      while (true) {
        time.sleepNanos(LOOK_EVERY_NANOS);
        dropStuck();
      }
    } catch (InterruptedException closing) {
      Thread.currentThread().interrupt();
    }
  }

  private synchronized void dropStuck() {
    long now = time.monotonicNanos();
    writing.forEach(
        (thread, since) -> {
          if (now - since > MOST_NANOS) {
            thread.interrupt();
          }
        });
  }

  @Override
  public void close() {
    watch.interrupt();
  }
}
