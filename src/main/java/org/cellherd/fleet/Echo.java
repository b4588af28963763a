package org.cellherd.fleet;

import java.util.List;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;

/**
 * A message to itself, by which a gatherer knows that it may write and read below the root: a
 * broker takes what its rules then throw away, and says nothing. Gatherer's thread.
 */
final class Echo {

  private static final System.Logger LOG = System.getLogger("org.cellherd.fleet");
  private static final Object ANY = new Object();

  /** Longer than a busy broker keeps a message. */
  private static final long LATE_NANOS = 10_000_000_000L;

  private final LinkSettings link;
  private final String topic;
  private long sentNanos;
  private boolean isDue;
  private boolean isHeard;

  /** Of a gatherer, in a lane that no site is in. */
  Echo(Gatherer.Settings settings) {
    this.link = settings.link();
    this.topic = settings.root() + "/" + Lane.COUNT + "/" + link.clientId() + "/held";
  }

  /** Sends it over a new connection. */
  void send(Connection connection, Object refused, long nowNanos) throws BrokerTrouble {
    connection.subscribe(List.of(topic), ANY, refused);
    connection.publish(new Publication(topic, "echo", false), ANY);
    sentNanos = nowNanos;
    isDue = true;
    isHeard = false;
  }

  /** True for the message that came back. */
  boolean take(Received message) {
    boolean isIt = message.topic().equals(topic);
    if (isIt) {
      isDue = false;
    }
    isHeard = true;
    return isIt;
  }

  /** Says once a connection that it did not come back. */
  void tellIfLate(long nowNanos) {
    if (isDue && nowNanos - sentNanos > LATE_NANOS) {
      isDue = false;
      LOG.log(
          System.Logger.Level.WARNING,
          "broker "
              + link.url()
              + " does not return the test message of this gatherer at "
              + topic
              + (isHeard
                  ? ", though messages of sites arrive: the answers to them most likely do not,"
                      + " and all is sent again and again"
                  : ": what sites send, or the answers to them, will not arrive")
              + "; check the broker's access rules against fleet.md");
    }
  }
}
