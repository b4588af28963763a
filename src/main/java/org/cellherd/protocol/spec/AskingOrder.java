package org.cellherd.protocol.spec;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Which messages a board is asked for in a cycle: first those without which there is no reading,
 * then the others, so that nothing is asked behind a question that may stay without an answer. One
 * that was asked for in vain some times is asked for seldom. Belongs to one thread.
 */
final class AskingOrder {
  /** Tries before a board is taken for one that does not have the message. */
  private static final int MOST_IN_VAIN = 5;

  /** Cycles between two tries from then on. */
  private static final int SELDOM = 20;

  private final List<Message> order = new ArrayList<>();
  private final Map<Message, Integer> inVain = new HashMap<>();
  private int next;

  AskingOrder(List<Message> messages) {
    messages.stream().filter(m -> !m.optional()).forEach(order::add);
    messages.stream().filter(Message::optional).forEach(order::add);
  }

  void begin() {
    next = 0;
  }

  /** True while a message is left. */
  boolean hasNext() {
    while (next < order.size() && isLeftOut(order.get(next))) {
      next++;
    }
    return next < order.size();
  }

  Message next() {
    return order.get(next++);
  }

  private boolean isLeftOut(Message message) {
    int tries = message.optional() ? inVain.getOrDefault(message, 0) : 0;
    if (tries >= MOST_IN_VAIN && (tries - MOST_IN_VAIN + 1) % SELDOM != 0) {
      inVain.put(message, tries + 1);
      return true;
    }
    return false;
  }

  void missed(Message message) {
    inVain.merge(message, 1, Integer::sum);
  }

  void answered(Message message) {
    if (message.optional()) {
      inVain.remove(message);
    }
  }
}
