package org.cellherd.mqtt;

import java.util.Optional;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Publication;

/**
 * Sends what is to be kept, so many at once that a slow line is filled and not flooded. A message
 * is its own receipt. Publisher's thread.
 */
final class StateSender {

  private final Keeping keeping;
  private final int mostInFlight;
  private int inFlight;

  /** Keeps account of what goes out; at most so many are unacknowledged at once. */
  public StateSender(Keeping keeping, int mostInFlight) {
    this.keeping = keeping;
    this.mostInFlight = mostInFlight;
  }

  /** A new connection: no receipt of an earlier one will come. */
  public void restart() {
    inFlight = 0;
  }

  /**
   * Sends what is due while there is room.
   *
   * @return false when the line took no more: try again soon
   * @throws BrokerTrouble when the connection failed
   */
  public boolean send(Connection connection, RetainedStates states) throws BrokerTrouble {
    while (inFlight < mostInFlight) {
      Optional<Publication> next = states.next();
      if (next.isEmpty()) {
        return true;
      }
      if (!connection.publish(next.get(), next.get())) {
        states.notSent(next.get());
        return false;
      }
      keeping.sent(next.get());
      inFlight++;
    }
    return true;
  }

  /** The broker has taken one of these states. */
  public void acknowledged(Publication message, RetainedStates states) {
    inFlight--;
    states.acknowledged(message);
    keeping.acknowledged(message);
  }

  /** True when the broker has taken all that was sent. */
  public boolean isIdle() {
    return inFlight == 0;
  }
}
