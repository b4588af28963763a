package org.cellherd.mqtt.link;

import java.util.concurrent.TimeUnit;
import org.cellherd.pack.TimeSource;

/**
 * Owns a thread that keeps one connection to a broker: opens it, does the duty, and when it is lost
 * opens another after a growing pause. Never gives up.
 */
public final class Courier implements AutoCloseable {

  private static final long LONGEST_WAIT_NANOS = TimeUnit.SECONDS.toNanos(1);
  private static final long FAREWELL_NANOS = TimeUnit.MILLISECONDS.toNanos(900);
  private static final long LEAVE_MS = 400;
  private static final long JOIN_MS = 1_900;

  /** A connection that lived shorter than this did not stand. */
  private static final long SHORT_LIFE_NANOS = TimeUnit.SECONDS.toNanos(5);

  private final LinkSettings settings;
  private final Message will;
  private final Duty duty;
  private final TimeSource time;
  private final Wakeup wakeup;
  private final TroubleLog log;
  private final Thread thread;
  private int failures;

  /**
   * A courier that does not run yet.
   *
   * @param name of its thread
   * @param time the computer's own clock, also when readings come from a faster one
   * @param wakeup signalled when the duty has work
   */
  public Courier(
      String name, LinkSettings settings, Message will, Duty duty, TimeSource time, Wakeup wakeup) {
    this.settings = settings;
    this.will = will;
    this.duty = duty;
    this.time = time;
    this.wakeup = wakeup;
    this.log = new TroubleLog(settings);
    this.thread = new Thread(this::run, name);
    this.thread.setDaemon(true);
  }

  /** Begins. */
  public void start() {
    thread.start();
  }

  /** Says goodbye to the broker and ends, within 2 s. */
  @Override
  public void close() {
    wakeup.stop();
    try {
      thread.join(JOIN_MS);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void run() {
    try {
      while (!wakeup.isStopping()) {
        oneConnection();
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  private void oneConnection() throws InterruptedException {
    long stoodNanos = 0;
    try {
      Connection connection = Connection.open(settings, will, wakeup);
      long began = time.monotonicNanos();
      try {
        serve(connection);
      } finally {
        stoodNanos = time.monotonicNanos() - began;
      }
    } catch (BrokerTrouble trouble) {
      if (!wakeup.isStopping()) {
        duty.offline(trouble);
        failures = stoodNanos > SHORT_LIFE_NANOS ? 1 : failures + 1;
        log.trouble(trouble, failures);
        pause(settings.timing().retryMs(failures));
      }
    }
  }

  private void serve(Connection connection) throws BrokerTrouble, InterruptedException {
    try {
      duty.online(connection);
      log.connected();
      while (!wakeup.isStopping()) {
        if (!connection.isOpen()) {
          throw connection.loss();
        }
        wakeup.await(Math.min(LONGEST_WAIT_NANOS, duty.work(connection)));
      }
      farewell(connection);
    } catch (BrokerTrouble trouble) {
      connection.drop();
      throw trouble;
    } catch (RuntimeException bug) {
      connection.drop();
      throw new BrokerTrouble("publishing failed unexpectedly: " + bug, bug);
    }
  }

  private void farewell(Connection connection) throws BrokerTrouble, InterruptedException {
    long begun = time.monotonicNanos();
    long spent = 0;
    while (connection.isOpen()
        && spent < FAREWELL_NANOS
        && !duty.farewell(connection, spent > FAREWELL_NANOS / 2)) {
      wakeup.awaitMs(20);
      spent = time.monotonicNanos() - begun;
    }
    connection.leave(LEAVE_MS);
  }

  private void pause(long ms) throws InterruptedException {
    long end = time.monotonicNanos() + TimeUnit.MILLISECONDS.toNanos(ms);
    for (long left = end - time.monotonicNanos();
        left > 0 && !wakeup.isStopping();
        left = end - time.monotonicNanos()) {
      wakeup.await(Math.min(left, LONGEST_WAIT_NANOS));
    }
  }
}
