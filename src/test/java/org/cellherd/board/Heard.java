package org.cellherd.board;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;

/** Keeps what a poller told. Any thread. */
final class Heard implements BoardListener {
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
