package org.cellherd.mqtt;

import java.util.List;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.logging.Handler;
import java.util.logging.Level;
import java.util.logging.LogRecord;
import java.util.logging.Logger;

/** What the publisher writes to the program's log while this is open. */
final class SaidLines extends Handler implements AutoCloseable {

  private static final Logger LOGGER = Logger.getLogger("org.cellherd.mqtt");

  private static int listening;

  private final List<String> lines = new CopyOnWriteArrayList<>();
  private final String only;

  /** Only lines that name this, such as the broker of one test. */
  SaidLines(String only) {
    this.only = only;
    listen(1);
    LOGGER.addHandler(this);
  }

  @Override
  public void publish(LogRecord line) {
    if (line.getMessage().contains(only)) {
      lines.add(line.getMessage());
    }
  }

  List<String> lines() {
    return lines;
  }

  @Override
  public void flush() {
    // Nothing is kept back.
  }

  @Override
  public void close() {
    LOGGER.removeHandler(this);
    listen(-1);
  }

  /** Tests listen side by side; the logger is loud while one of them does. */
  private static synchronized void listen(int more) {
    listening += more;
    LOGGER.setLevel(listening > 0 ? Level.INFO : null);
  }
}
