package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import org.cellherd.Await;
import org.cellherd.Tools;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.PackState;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Wakeup;
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
    List<AlertEvent> events = TestSite.notices(1_200);
    events.forEach(site.outbox::commit);
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      for (int kill = 1; kill <= 3; kill++) {
        int enough = kill * 300;
        Await.until("some delivered", () -> site.delivered.size() >= enough);
        broker.stop();
        Await.until("noticed", () -> !publisher.isConnected());
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
      Await.until("connected", () -> publisher.isConnected());
      broker.stop();
      Await.until("noticed", () -> !publisher.isConnected());
      broker.start();
      Await.until("again", () -> publisher.isConnected());

      try (Subscriber late = new Subscriber(broker.url())) {
        Await.until("state", () -> late.last(ROOT + "shed/state").isPresent());
        assertThat(late.last(ROOT + "shed/state").orElseThrow())
            .isEqualTo(
                "{\"state\":\"silent\",\"since\":\"1970-01-01T00:00:00Z\",\"cause\":\"no-bytes\"}");
      }
    }
  }

  @Test
  void frozenBrokerIsNoticedAndNothingLost() {
    Mosquitto mosquitto = (Mosquitto) broker;
    MqttSettings quick = site.settings(broker.url()).timing(TestSite.QUICK).build();
    try (MqttPublisher publisher = site.publisher(quick)) {
      Await.until("connected", () -> publisher.isConnected());
      mosquitto.freeze();
      AlertEvent event = TestSite.event("e-1", AlertEvent.Change.RAISED);
      site.outbox.commit(event);
      publisher.event(event);
      Await.until("noticed", () -> !publisher.isConnected());
      assertThat(site.troubles.get(0)).contains("does not acknowledge");

      mosquitto.thaw();

      Await.until("delivered", () -> site.outbox.waitingCount() == 0);
    }
  }

  @Test
  void stopIsQuickWhileTheBrokerIsFrozen() {
    Mosquitto mosquitto = (Mosquitto) broker;
    MqttPublisher publisher = site.publisher(broker.url());
    Await.until("connected", () -> publisher.isConnected());
    mosquitto.freeze();

    long begun = System.nanoTime();
    publisher.close();

    // Two seconds are promised; waiting for the broker would take a minute.
    assertThat(System.nanoTime() - begun).isLessThan(30_000_000_000L);
  }

  @Test
  void willSaysLostWhenTheProcessIsCutOff() throws Exception {
    Publication will = new Publication("cellherd/home/link", "lost", true);
    try (Subscriber second = new Subscriber(broker.url())) {
      Connection connection =
          Connection.open(
              site.settings(broker.url()).build().link(), will, site.time, new Wakeup());

      connection.drop();

      Await.until("lost", () -> second.has("cellherd/home/link", "lost"));
    }
  }

  @Test
  void theBrokersOwnClientReadsWhatWePublish() throws Exception {
    Path program = Tools.require("mosquitto_sub");
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      publisher.reading("shed", TestSite.reading(3_310));
      Await.until("connected", () -> publisher.isConnected());
      Process sub =
          new ProcessBuilder(
                  program.toString(),
                  "-p",
                  Integer.toString(broker.url().port()),
                  "-t",
                  "cellherd/home/shed/reading",
                  "-C",
                  "1",
                  "-W",
                  "10",
                  "-F",
                  "%r %q %p")
              .start();
      String said = new String(sub.getInputStream().readAllBytes(), StandardCharsets.UTF_8);

      assertThat(said).matches("[01] 0 \\{.*\"cell_3_v\":3\\.31.*}\\R");
    }
  }

  @Test
  void whoIsThrownOutByAnotherOfTheSameClientIdSaysSo() {
    TestSite other = new TestSite();
    MqttSettings same = site.settings(broker.url()).clientId("twin").build();
    try (SaidLines said = new SaidLines(broker.url().toString());
        MqttPublisher first = site.publisher(same);
        MqttPublisher second = other.publisher(same)) {
      Await.until(
          "said",
          () -> said.lines().stream().anyMatch(l -> l.contains("another computer uses client_id")));

      assertThat(said.lines())
          .anyMatch(l -> l.contains("or another client came with client_id 'twin'"));
      assertThat(first).isNotSameAs(second);
    }
  }
}
