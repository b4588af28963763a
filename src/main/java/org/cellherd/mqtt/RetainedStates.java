package org.cellherd.mqtt;

import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.cellherd.mqtt.link.Publication;

/**
 * What the broker should keep under each topic: the newest wins, and after a new connection all of
 * it is sent again. Its size is bounded by the number of topics. Any thread.
 */
final class RetainedStates {

  private final Map<String, String> wanted = new LinkedHashMap<>();
  private final Set<String> urgent = new LinkedHashSet<>();

  /** Topics whose news goes before all others, again after a bad line too. */
  private final Set<String> first = new HashSet<>();

  private final Set<String> dirty = new LinkedHashSet<>();

  /** What is to be kept under a topic. */
  public synchronized void put(String topic, String text) {
    if (!text.equals(wanted.put(topic, text))) {
      dirty.add(topic);
    }
  }

  /** The same, sent before all others. */
  public synchronized void putUrgently(String topic, String text) {
    first.add(topic);
    if (!text.equals(wanted.put(topic, text))) {
      urgent.add(topic);
    }
  }

  private void sendAgain(String topic) {
    (first.contains(topic) ? urgent : dirty).add(topic);
  }

  /** Nothing is to be kept under a topic. */
  public synchronized void removeUrgently(String topic) {
    putUrgently(topic, "");
  }

  /** The broker was found to keep something under a topic: to be emptied, unless it is wanted. */
  public synchronized void emptyUnlessHeld(String topic) {
    if (!holds(topic)) {
      wanted.put(topic, "");
      dirty.add(topic);
    }
  }

  /** True when something is to be kept under a topic. */
  public synchronized boolean holds(String topic) {
    return !wanted.getOrDefault(topic, "").isEmpty();
  }

  /** A new connection: all is to be sent again. */
  public synchronized void sendAllAgain() {
    wanted.keySet().forEach(this::sendAgain);
  }

  /** The next to be sent; it counts as sent from now on. */
  public synchronized Optional<Publication> next() {
    Set<String> from = urgent.isEmpty() ? dirty : urgent;
    if (from.isEmpty()) {
      return Optional.empty();
    }
    String topic = from.iterator().next();
    urgent.remove(topic);
    dirty.remove(topic);
    return Optional.of(new Publication(topic, wanted.getOrDefault(topic, ""), true));
  }

  /** The broker has it; what was emptied is forgotten. */
  public synchronized void acknowledged(Publication message) {
    if (message.text().isEmpty()) {
      if (wanted.remove(message.topic(), "")) {
        first.remove(message.topic());
      }
    }
  }

  /** It could not be sent: it comes up again. */
  public synchronized void notSent(Publication message) {
    if (message.text().equals(wanted.get(message.topic()))) {
      sendAgain(message.topic());
    }
  }

  /** True when nothing is to be sent. */
  public synchronized boolean isClean() {
    return urgent.isEmpty() && dirty.isEmpty();
  }
}
