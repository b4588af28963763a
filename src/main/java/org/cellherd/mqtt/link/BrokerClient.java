package org.cellherd.mqtt.link;

import java.io.IOException;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.TimeSource;

/**
 * Owns a thread that keeps one connection to a broker: opens it, does the duty, and when it is lost
 * opens another after a growing pause. Never gives up.
 */
public final class BrokerClient implements AutoCloseable {

  private static final long LONGEST_WAIT_NANOS = TimeUnit.SECONDS.toNanos(1);
  private static final long FAREWELL_NANOS = TimeUnit.MILLISECONDS.toNanos(900);
  private static final long LEAVE_MS = 400;
  private static final long JOIN_MS = 1_900;

  /** After so long no rival for our client id is about: it would have come back by then. */
  private static final long STEADY_NANOS = TimeUnit.MINUTES.toNanos(5);

  /** A connection that worked for less than this is one more failure: the next waits longer. */
  private static final long SHORT_LIFE_NANOS = TimeUnit.SECONDS.toNanos(5);

  private static final int PROBE_MS = 1_000;

  private final LinkSettings settings;
  private final Publication will;
  private final Duty duty;
  private final TimeSource time;
  private final Wakeup wakeup;
  private final TroubleLog log;
  private final Thread thread;
  private int failures;

  /** Since when the broker of this connection works. */
  private OptionalLong workedNanos = OptionalLong.empty();

  /**
   * A client that does not run yet.
   *
   * @param name of its thread
   * @param time the computer's own clock, also when readings come from a faster one
   * @param wakeup signalled when the duty has work
   */
  public BrokerClient(
      String name,
      LinkSettings settings,
      Publication will,
      Duty duty,
      TimeSource time,
      Wakeup wakeup) {
    this.settings = settings;
    this.will = will;
    this.duty = duty;
    this.time = time;
    this.wakeup = wakeup;
    this.log = new TroubleLog(settings, time);
    this.thread = new Thread(this::run, name);
    this.thread.setDaemon(true);
  }

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
    workedNanos = OptionalLong.empty();
    try {
      serve(Connection.open(settings, will, time, wakeup));
    } catch (BrokerTrouble trouble) {
      failed(trouble);
    } catch (RuntimeException bug) {
      failed(new BrokerTrouble("publishing failed unexpectedly: " + bug, bug));
    }
  }

  private void failed(BrokerTrouble trouble) throws InterruptedException {
    if (wakeup.isStopping()) {
      return;
    }
    duty.offline(trouble);
    failures = hasWorkedFor(SHORT_LIFE_NANOS) ? 1 : failures + 1;
    log.trouble(trouble, workedNanos.isPresent(), this::isListening);
    pause(settings.timing().retryMs(failures));
  }

  private boolean isListening() {
    try (Socket probe = new Socket()) {
      BrokerUrl url = settings.url();
      probe.connect(new InetSocketAddress(url.host(), url.port()), PROBE_MS);
      return true;
    } catch (IOException stopped) {
      return false;
    }
  }

  private boolean hasWorkedFor(long nanos) {
    return workedNanos.isPresent() && time.monotonicNanos() - workedNanos.getAsLong() > nanos;
  }

  private void serve(Connection connection) throws BrokerTrouble, InterruptedException {
    try {
      duty.online(connection);
      while (!wakeup.isStopping()) {
        if (!connection.isOpen()) {
          throw connection.loss();
        }
        long rest = duty.work(connection);
        connection.expectAnswers();
        noteWorking(connection);
        wakeup.await(Math.min(LONGEST_WAIT_NANOS, rest));
      }
      farewell(connection);
    } catch (BrokerTrouble | RuntimeException e) {
      connection.drop();
      throw e;
    }
  }

  /** A broker that lets us in and acknowledges nothing of what it gets is no connection. */
  private void noteWorking(Connection connection) {
    if (workedNanos.isEmpty() && connection.isAnswered()) {
      workedNanos = OptionalLong.of(time.monotonicNanos());
      duty.working();
      log.connected();
    } else if (hasWorkedFor(STEADY_NANOS)) {
      log.steady();
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
