package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.AlertEvent;

/** An outbox in memory that counts as a disk which outlives the publisher. */
final class MemoryOutbox implements Outbox {

  private final List<AlertEvent> waiting = new ArrayList<>();

  synchronized void commit(AlertEvent event) {
    waiting.add(event);
  }

  @Override
  public synchronized List<AlertEvent> waiting(int most) {
    return List.copyOf(waiting.subList(0, Math.min(most, waiting.size())));
  }

  @Override
  public synchronized int waitingCount() {
    return waiting.size();
  }

  @Override
  public synchronized void delivered(List<String> eventIds) {
    waiting.removeIf(event -> eventIds.contains(event.id()));
  }
}
