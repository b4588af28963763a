package org.cellherd.board;

import java.util.ArrayList;
import java.util.List;
import java.util.function.BooleanSupplier;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;

/** Keeps what a poller told. Any thread. */
class HeardListener implements BoardListener {
  private final List<LogEntry> entries = new ArrayList<>();
  private final List<String> notes = new ArrayList<>();
  private final List<String> others = new ArrayList<>();

  @Override
  public synchronized void heard(String pack, LogEntry entry) {
    entries.add(entry);
    notifyAll();
  }

  @Override
  public synchronized void note(String pack, String text) {
    notes.add(text);
    notifyAll();
  }

  @Override
  public synchronized void otherBoard(String pack, String before, String now) {
    others.add(before + " -> " + now);
  }

  /** Waits until something holds of what was heard; false when it does not within 10 s. */
  synchronized boolean await(BooleanSupplier holds) throws InterruptedException {
    long deadline = System.nanoTime() + 10_000_000_000L;
    while (!holds.getAsBoolean()) {
      long left = (deadline - System.nanoTime()) / 1_000_000;
      if (left <= 0) {
        return false;
      }
      wait(left);
    }
    return true;
  }

  synchronized List<LogEntry> entries() {
    return List.copyOf(entries);
  }

  synchronized List<Reading> readings() {
    return entries.stream().filter(Reading.class::isInstance).map(Reading.class::cast).toList();
  }

  synchronized List<Gap> gaps() {
    return entries.stream().filter(Gap.class::isInstance).map(Gap.class::cast).toList();
  }

  synchronized List<String> notes() {
    return List.copyOf(notes);
  }

  synchronized List<String> others() {
    return List.copyOf(others);
  }
}
