package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import org.cellherd.Await;
import org.cellherd.alert.AlertEvent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FloodTest {

  @TempDir Path folder;
  private final TestSite site = new TestSite();

  @Test
  void hugeRetainedMessageIsNotReadAndAlertsGoOn() throws Exception {
    try (Mosquitto broker = Mosquitto.open(folder)) {
      try (Subscriber enemy = new Subscriber(broker.url())) {
        enemy.publish("cellherd/home/ack", "x".repeat(5_000_000), true);
      }
      try (MqttPublisher publisher = site.publisher(broker.url())) {
        Await.until(
            "flood seen",
            () -> site.troubles.stream().anyMatch(t -> t.contains("longer than 4 MiB")));
        publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));

        Await.until("delivered", () -> site.delivered.contains("e-1"));
        Await.until("connected", () -> publisher.isConnected());
      }
    }
  }

  @Test
  void oneMegabyteIsAnsweredAndTheNextAcknowledgementIsHeard() throws Exception {
    site.standing.add("shed-1");
    try (Mosquitto broker = Mosquitto.open(folder);
        Subscriber person = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until("connected", () -> publisher.isConnected());
      person.publish("cellherd/home/ack", "x".repeat(1_000_000), false);
      person.publish("cellherd/home/ack", "{\"id\":\"shed-1\",\"by\":\"Anna\"}", false);

      Await.until("answers", () -> person.texts("cellherd/home/ack/answer").size() == 2);
      assertThat(person.texts("cellherd/home/ack/answer"))
          .anyMatch(
              a -> a.contains("\"result\":\"not-understood\"") && a.contains("longer than 2048"))
          .anyMatch(a -> a.contains("\"id\":\"shed-1\",\"result\":\"done\""));
      assertThat(site.acknowledged).containsExactly("shed-1 by Anna");
      assertThat(site.troubles).isEmpty();
    }
  }
}
