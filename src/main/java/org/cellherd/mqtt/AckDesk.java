package org.cellherd.mqtt;

import java.util.Optional;
import java.util.concurrent.ArrayBlockingQueue;
import java.util.concurrent.BlockingQueue;
import org.cellherd.alert.Acknowledger;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Received;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/**
 * Takes acknowledgements that come in and answers each: done, unknown, or not understood and why.
 * Publisher's thread; what came of one may be told on any.
 */
final class AckDesk {

  /** Answers that wait at most; who sends more at once gets the first ones. */
  private static final int MOST_WAITING = 64;

  private final String topic;
  private final Acknowledger acknowledger;
  private final Runnable wake;
  private final BlockingQueue<String> answers = new ArrayBlockingQueue<>(MOST_WAITING);

  /**
   * A desk.
   *
   * @param topic of the answers
   * @param wake called when there is one to be sent
   */
  AckDesk(String topic, Acknowledger acknowledger, Runnable wake) {
    this.topic = topic;
    this.acknowledger = acknowledger;
    this.wake = wake;
  }

  /** Takes what came in; what the broker had kept was meant for others. */
  void take(Received message) {
    if (message.retained()) {
      return;
    }
    AckText ack = AckText.of(message);
    if (ack.problem().isEmpty()) {
      acknowledger.acknowledge(ack.id(), ack.by(), seen -> answer(ack, seen));
    } else {
      answer("", "not-understood", ack.problem());
    }
  }

  /** So many were not even looked at. */
  void dropped(long count) {
    if (count > 0) {
      answer(
          "",
          "dropped",
          Spoken.counted(count, "message") + " dropped, because too many came at once; send again");
    }
  }

  private void answer(AckText ack, Acknowledger.Seen seen) {
    answer(ack.id(), seen.word(), seen.sentence());
    wake.run();
  }

  private void answer(String id, String result, String text) {
    answers.offer(
        JsonText.of(
            Facts.of()
                .put("id", id.isEmpty() ? null : id)
                .put("result", result)
                .put("text", text)
                .build()));
  }

  /**
   * Sends the answers that wait.
   *
   * @param receipt comes back for each
   * @return false when the line took no more: try again soon
   */
  boolean send(Connection connection, Object receipt) throws BrokerTrouble {
    for (Optional<String> next = Optional.ofNullable(answers.peek());
        next.isPresent();
        next = Optional.ofNullable(answers.peek())) {
      if (!connection.publish(new Publication(topic, next.get(), false), receipt)) {
        return false;
      }
      answers.remove();
    }
    return true;
  }
}
