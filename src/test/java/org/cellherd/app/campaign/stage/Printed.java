package org.cellherd.app.campaign.stage;

import java.util.logging.Handler;
import java.util.logging.Level;
import java.util.logging.LogRecord;
import java.util.logging.Logger;

/** What a daemon in this process says in its own log. Thread-safe. */
final class Printed extends Handler {

  private final Logger root = Logger.getLogger("org.cellherd");
  private final StringBuilder text = new StringBuilder();

  Printed() {
    setLevel(Level.INFO);
    root.addHandler(this);
  }

  @Override
  public synchronized void publish(LogRecord line) {
    text.append(line.getMessage()).append('\n');
  }

  /** What was said since the last time. */
  synchronized String take() {
    String all = text.toString();
    text.setLength(0);
    return all;
  }

  @Override
  public void flush() {
    // Nothing waits.
  }

  @Override
  public void close() {
    root.removeHandler(this);
  }
}
