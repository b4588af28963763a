package org.cellherd.mqtt;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;
import org.cellherd.mqtt.link.Wakeup;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.TimeSource;

/**
 * Looks once at what a broker keeps under our root, and whether it acknowledges; changes nothing.
 */
public final class RootCheck {

  /** A broker sends what it keeps at once; after so long a silence there is no more. */
  private static final long QUIET_NANOS = 500_000_000L;

  private static final Object PROBE = new Object();
  private static final Object SUBSCRIBED = new Object();
  private static final Object REFUSED = new Object();

  private static final int MOST_MESSAGES = 1_000;
  private static final int MOST_NAMED = 5;

  private RootCheck() {}

  /**
   * Packs that the broker keeps under our root and that are not ours.
   *
   * @param kept what earlier runs left there, also of packs that have left the config since: the
   *     next start empties it
   * @return one line for people; empty when there are none
   * @throws BrokerTrouble when the broker cannot be asked; the message says why
   */
  public static Optional<String> strangers(
      MqttSettings settings, Set<String> ourPacks, TimeSource time, BrokerMemory kept)
      throws BrokerTrouble, InterruptedException {
    Topics topics = settings.topics();
    List<String> packs = new ArrayList<>(keptPacks(settings, time));
    packs.removeAll(ourPacks);
    Set<String> left = kept.recall().topics();
    packs.removeIf(pack -> left.contains(topics.state(pack)));
    if (packs.isEmpty()) {
      return Optional.empty();
    }
    List<String> named = packs.subList(0, Math.min(MOST_NAMED, packs.size()));
    return Optional.of(
        "the broker keeps, under "
            + topics.root()
            + ", what another program published: pack "
            + String.join(", ", named)
            + "; give each program its own site, or root in [mqtt]");
  }

  private static Set<String> keptPacks(MqttSettings settings, TimeSource time)
      throws BrokerTrouble, InterruptedException {
    Topics topics = settings.topics();
    Wakeup wakeup = new Wakeup();
    String id = settings.link().clientId() + "--check";
    Connection connection = Connection.visit(settings.link().withClientId(id), time, wakeup);
    try {
      connection.subscribe(List.of(topics.state("+")), SUBSCRIBED, REFUSED);
      connection.publish(new Publication(topics.check(), "cellherd check", false), PROBE);
      int awaited = 2;
      Set<String> packs = new TreeSet<>();
      int seen = 0;
      long quietSince = time.monotonicNanos();
      while (connection.isOpen()
          && (awaited > 0 || time.monotonicNanos() - quietSince < QUIET_NANOS)
          && seen < MOST_MESSAGES) {
        wakeup.await(QUIET_NANOS / 10);
        awaited -= answers(connection, topics);
        connection.expectAnswers();
        int taken = take(connection, topics, packs);
        quietSince = taken > 0 ? time.monotonicNanos() : quietSince;
        seen += taken;
      }
      if (!connection.isOpen()) {
        throw connection.loss();
      }
      return packs;
    } finally {
      connection.leave(QUIET_NANOS / 1_000_000);
    }
  }

  /** A broker that lets us in and acknowledges nothing would lose every alert. */
  private static int answers(Connection connection, Topics topics) throws BrokerTrouble {
    int count = 0;
    for (Object receipt : connection.takeReceipts()) {
      count++;
      if (receipt == REFUSED) {
        throw new BrokerTrouble(
            "the broker refuses a subscription under " + topics.root() + "; see its access rules");
      }
    }
    return count;
  }

  private static int take(Connection connection, Topics topics, Set<String> packs) {
    int taken = 0;
    for (Optional<Received> message = connection.nextReceived();
        message.isPresent();
        message = connection.nextReceived()) {
      taken++;
      String topic = message.get().topic();
      int begin = topics.root().length() + 1;
      int end = topic.lastIndexOf('/');
      if (end > begin && PackPlan.isId(topic.substring(begin, end))) {
        packs.add(topic.substring(begin, end));
      }
    }
    return taken;
  }
}
