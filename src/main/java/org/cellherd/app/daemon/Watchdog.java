package org.cellherd.app.daemon;

import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.util.concurrent.atomic.AtomicLong;
import org.cellherd.pack.TimeSource;

/**
 * Ends the process when the thread that owns analysis and alerts has stopped working: a service
 * manager starts it anew. It is fed by progress, never by a timer. Own thread.
 */
final class Watchdog implements AutoCloseable {

  /** Longer than any commit on a slow card, much shorter than a night. */
  static final long PATIENCE_NANOS = 60_000_000_000L;

  private static final Logger LOG = System.getLogger(Watchdog.class.getName());

  private final TimeSource time;
  private static final int LOOKS = 6;

  private final Runnable bite;
  private final AtomicLong fedNanos;
  private final Thread thread;

  /** Starts to watch; {@code bite} is called once when the thread stopped. */
  public Watchdog(TimeSource time, Runnable bite) {
    this.time = time;
    this.bite = bite;
    this.fedNanos = new AtomicLong(time.monotonicNanos());
    this.thread = new Thread(this::run, "watchdog");
    thread.setDaemon(true);
    thread.start();
  }

  /** The watched thread made progress. */
  public void feed() {
    fedNanos.set(time.monotonicNanos());
  }

  private void run() {
    try {
      // By its own looks, not by the clock: a process that was stopped for a while is not hung.
      long seen = fedNanos.get();
      for (int idle = 0; idle < LOOKS; ) {
        time.sleepNanos(PATIENCE_NANOS / LOOKS);
        long fed = fedNanos.get();
        idle = fed == seen ? idle + 1 : 0;
        seen = fed;
      }
      LOG.log(
          Level.ERROR, "analysis made no progress for 60 s, ending the process to be restarted");
      bite.run();
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void close() {
    thread.interrupt();
  }
}
