package org.cellherd.mqtt;

import java.util.List;
import java.util.Set;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Message;
import org.cellherd.mqtt.link.RetainedStates;

/**
 * Finds what an earlier run left retained under our root and empties it: alerts that are over, and
 * anything of packs that are no more. Publisher's thread.
 */
final class Sweep {

  /** The broker sends what it keeps at once; so long it is listened to after each connection. */
  private static final long LASTS_NANOS = 5_000_000_000L;

  private final Topics topics;
  private final Set<String> packs;
  private final RetainedStates states;
  private boolean running;
  private long endNanos;

  Sweep(Topics topics, Set<String> packs, RetainedStates states) {
    this.topics = topics;
    this.packs = packs;
    this.states = states;
  }

  void begin(Connection connection, long nowNanos) throws BrokerTrouble {
    connection.subscribe(topics.leftovers());
    running = true;
    endNanos = nowNanos + LASTS_NANOS;
  }

  void endWhenDue(Connection connection, long nowNanos) throws BrokerTrouble {
    if (running && nowNanos - endNanos >= 0) {
      running = false;
      connection.unsubscribe(topics.leftovers());
    }
  }

  /**
   * Looks at a message under one of the filters. Some brokers do not mark what they had kept, so
   * the mark is not asked for: what we do not hold ourselves is left over.
   */
  void see(Message message) {
    if (running && !message.text().isEmpty() && isLeftover(message.topic())) {
      states.removeUrgently(message.topic());
    }
  }

  private boolean isLeftover(String topic) {
    if (!topic.startsWith(topics.root() + "/") || states.holds(topic)) {
      return false;
    }
    List<String> words = List.of(topic.substring(topics.root().length() + 1).split("/", -1));
    boolean isAlert = words.size() >= 3 && words.get(1).equals("alert");
    boolean isOther =
        words.size() >= 2
            && Set.of("reading", "state", "summary", "finding").contains(words.get(1));
    return isAlert || (isOther && !packs.contains(words.get(0)));
  }
}
