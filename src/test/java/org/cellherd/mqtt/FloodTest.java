package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import org.cellherd.Await;
import org.cellherd.alert.AlertEvent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class FloodTest {

  @TempDir Path folder;
  private final Site site = new Site();

  @Test
  void hugeRetainedMessageIsNotReadAndAlertsGoOn() throws Exception {
    try (Mosquitto broker = Mosquitto.open(folder)) {
      try (Subscriber enemy = new Subscriber(broker.url())) {
        enemy.publish("cellherd/home/ack", "x".repeat(5_000_000), true);
      }
      try (MqttPublisher publisher = site.publisher(broker.url())) {
        Await.until(
            "flood seen",
            () ->
                site.troubles.stream()
                    .anyMatch(t -> t.contains("sent a packet longer than 131072")));
        publisher.event(Site.event("e-1", AlertEvent.Change.RAISED));

        Await.until("delivered", () -> site.delivered.contains("e-1"));
        assertThat(publisher.status().connected()).isTrue();
      }
    }
  }
}
