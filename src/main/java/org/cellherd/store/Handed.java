package org.cellherd.store;

import java.util.function.Consumer;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Spoken;

/** Counts the readings that were handed over before a damaged file gave no more. */
final class Handed implements Consumer<LogEntry> {
  private final Consumer<LogEntry> consumer;
  private long readings;
  private long lastMs;

  Handed(Consumer<LogEntry> consumer) {
    this.consumer = consumer;
  }

  @Override
  public void accept(LogEntry entry) {
    if (entry instanceof Reading reading) {
      readings++;
      lastMs = reading.timeMs();
    }
    consumer.accept(entry);
  }

  /** How far the file could be read, one clause. */
  String words() {
    return readings == 0
        ? "no reading could be read"
        : "%s up to %s could be read, none after"
            .formatted(Spoken.counted(readings, "reading"), Loss.time(lastMs));
  }
}
