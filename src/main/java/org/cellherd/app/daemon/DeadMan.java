package org.cellherd.app.daemon;

import java.io.IOException;
import java.lang.System.Logger;
import java.lang.System.Logger.Level;
import java.net.HttpURLConnection;
import java.net.URI;
import java.util.function.BooleanSupplier;
import org.cellherd.pack.TimeSource;

/**
 * Requests an address as long as all is well, so that a listener elsewhere notices when it stops:
 * every pack is heard, critical events are delivered, the store writes. Own thread.
 */
final class DeadMan implements AutoCloseable {

  private static final Logger LOG = System.getLogger(DeadMan.class.getName());
  private static final int TIMEOUT_MS = 10_000;

  private final URI address;
  private final long everyNanos;
  private final BooleanSupplier allIsWell;
  private final TimeSource time;
  private final Thread thread;
  private String lastTrouble = "";

  /** Starts to request; the address is a secret and never printed. */
  public DeadMan(URI address, int everySeconds, BooleanSupplier allIsWell, TimeSource time) {
    this.address = address;
    this.everyNanos = everySeconds * 1_000_000_000L;
    this.allIsWell = allIsWell;
    this.time = time;
    this.thread = new Thread(this::run, "dead-man");
    thread.setDaemon(true);
    thread.start();
  }

  private void run() {
    try {
      while (true) {
        if (allIsWell.getAsBoolean()) {
          say(request());
        }
        time.sleepNanos(everyNanos);
      }
    } catch (InterruptedException stopping) {
      Thread.currentThread().interrupt();
    }
  }

  private void say(String trouble) {
    if (!trouble.equals(lastTrouble)) {
      LOG.log(
          trouble.isEmpty() ? Level.INFO : Level.WARNING,
          trouble.isEmpty() ? "dead-man request answered again" : "dead-man request: " + trouble);
      lastTrouble = trouble;
    }
  }

  private String request() {
    try {
      HttpURLConnection connection = (HttpURLConnection) address.toURL().openConnection();
      connection.setConnectTimeout(TIMEOUT_MS);
      connection.setReadTimeout(TIMEOUT_MS);
      connection.setInstanceFollowRedirects(false);
      try {
        int status = connection.getResponseCode();
        return status < 300 ? "" : "answered with status " + status;
      } finally {
        connection.disconnect();
      }
    } catch (IOException | IllegalArgumentException unreachable) {
      return "no answer (" + unreachable.getClass().getSimpleName() + ")";
    }
  }

  @Override
  public void close() {
    thread.interrupt();
  }
}
