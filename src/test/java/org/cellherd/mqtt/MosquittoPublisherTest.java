package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.List;
import org.cellherd.Await;
import org.cellherd.alert.AlertEvent;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The contract against the broker of Debian. */
class MosquittoPublisherTest extends PublisherContract {

  @TempDir Path folder;

  @Override
  BrokerUnderTest broker() throws Exception {
    return Mosquitto.open(folder);
  }

  @Test
  void brokerKilledInTheMiddleLosesNothing() throws Exception {
    List<AlertEvent> events = Site.notices(1_200);
    events.forEach(site.outbox::commit);
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      for (int kill = 1; kill <= 3; kill++) {
        int enough = kill * 300;
        Await.until("some delivered", () -> site.delivered.size() >= enough);
        broker.stop();
        Await.until("noticed", () -> !publisher.status().connected());
        broker.start();
      }
      Await.until("all delivered", () -> site.outbox.waitingCount() == 0);

      assertThat(site.delivered.stream().distinct()).containsExactlyElementsOf(ids(events));
      assertThat(site.delivered.size()).isLessThanOrEqualTo(events.size() + 3);
    }
  }

  @Test
  void retainedStatesComeBackAfterABrokerThatForgot() throws Exception {
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      publisher.state("shed", new PackState(PackState.Word.SILENT, 0, "no-bytes"));
      Await.until("connected", () -> publisher.status().connected());
      broker.stop();
      Await.until("noticed", () -> !publisher.status().connected());
      broker.start();
      Await.until("again", () -> publisher.status().connected());

      try (Subscriber late = new Subscriber(broker.url())) {
        Await.until("state", () -> late.last(ROOT + "shed/state").isPresent());
        assertThat(late.last(ROOT + "shed/state").orElseThrow())
            .isEqualTo(
                "{\"state\":\"silent\",\"since\":\"1970-01-01T00:00:00Z\",\"cause\":\"no-bytes\"}");
      }
    }
  }
}
