package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.cellherd.Await;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.RuleId;
import org.cellherd.mqtt.link.Message;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What a publisher owes its site, whatever the broker. */
abstract class PublisherContract {

  static final String ROOT = "cellherd/home/";
  private static final String EVENTS = ROOT + "shed/event";
  private static final String ALERT = ROOT + "shed/alert/cell-high/cell-3";

  final Site site = new Site();
  BrokerUnderTest broker;

  abstract BrokerUnderTest broker() throws Exception;

  @BeforeEach
  final void startBroker() throws Exception {
    broker = broker();
  }

  @AfterEach
  final void stopBroker() {
    broker.close();
  }

  @Test
  void readingAndLinkAreRetainedForWhoComesLater() throws Exception {
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      publisher.reading("shed", Site.reading(3_310));
      Await.until("connected", () -> publisher.status().connected());
      try (Subscriber late = new Subscriber(broker.url())) {
        Await.until("reading", () -> late.last(ROOT + "shed/reading").isPresent());
        Await.until("link", () -> late.last(ROOT + "link").isPresent());

        assertThat(late.last(ROOT + "link")).hasValue("online");
        assertThat(late.last(ROOT + "shed/reading").orElseThrow())
            .contains("\"time\":\"2026-01-01T00:00:00Z\"", "\"valid_s\":30", "\"cell_3_v\":3.31");
      }
    }
  }

  @Test
  void cleanStopSaysStoppedWithinTwoSeconds() throws Exception {
    try (Subscriber second = new Subscriber(broker.url())) {
      MqttPublisher publisher = site.publisher(broker.url());
      Await.until("online", () -> second.has(ROOT + "link", "online"));

      long begun = System.nanoTime();
      publisher.close();

      assertThat(System.nanoTime() - begun).isLessThan(2_000_000_000L);
      Await.until("stopped", () -> second.has(ROOT + "link", "stopped"));
      assertThat(second.texts(ROOT + "link")).doesNotContain("lost");
    }
  }

  @Test
  void aStormOfReadingsDoesNotHinderTheConnection() throws Exception {
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until(
          "connected",
          () -> {
            for (int i = 0; i < 1_000; i++) {
              publisher.reading("shed", Site.reading(3_310));
            }
            return publisher.status().connected();
          });

      assertThat(site.troubles).isEmpty();
    }
  }

  @Test
  void freshEventIsDeliveredAndLeavesTheOutbox() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      AlertEvent event = Site.event("e-1", AlertEvent.Change.RAISED);
      publisher.event(event);
      site.outbox.commit(event);

      Await.until("event", () -> !second.texts(EVENTS).isEmpty());
      Await.until("alert", () -> second.last(ALERT).isPresent());
      Await.until("acknowledged", () -> site.delivered.contains("e-1"));
      assertThat(second.texts(EVENTS).get(0)).contains("\"event\":\"e-1\"", "\"cell\":3");
      assertThat(second.last(ALERT).orElseThrow()).contains("\"state\":\"active\"");
    }
  }

  @Test
  void alertThatIsOverIsEmptied() throws Exception {
    try (MqttPublisher publisher = site.publisher(broker.url());
        Subscriber second = new Subscriber(broker.url())) {
      publisher.event(Site.event("e-1", AlertEvent.Change.RAISED));
      Await.until("alert", () -> second.last(ALERT).isPresent());

      publisher.event(Site.event("e-2", AlertEvent.Change.CLEARED));

      Await.until("emptied", () -> second.has(ALERT, ""));
    }
  }

  @Test
  void leftoversAreEmptiedAndStandingAlertsKept() throws Exception {
    String gone = ROOT + "shed/alert/hot";
    String oldPack = ROOT + "sold-pack/reading";
    try (Subscriber second = new Subscriber(broker.url())) {
      second.publish(gone, "{\"state\":\"active\"}", true);
      second.publish(oldPack, "{}", true);
      second.publish("elsewhere/shed/alert/hot", "x", true);
      Alert standing = Site.alert(RuleId.CELL_HIGH, 3, AlertState.ACTIVE);

      try (MqttPublisher publisher = site.publisher(broker.url(), standing)) {
        Await.until("emptied", () -> second.has(gone, "") && second.has(oldPack, ""));
        assertThat(publisher.status().connected()).isTrue();
        assertThat(second.last(ALERT).orElseThrow()).contains("cell-high");
        assertThat(second.texts("elsewhere/shed/alert/hot")).containsExactly("x");
        assertThat(second.texts(ALERT)).doesNotContain("");
      }
    }
  }

  @Test
  void acknowledgementsComeInAndNonsenseDoesNot() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until("online", () -> second.has(ROOT + "link", "online"));
      Await.until("connected", () -> publisher.status().connected());
      for (String nonsense : List.of("", "{", "[]", "{\"id\":7}", "[".repeat(5_000), "\u0000")) {
        second.publish(ROOT + "ack", nonsense, false);
      }
      second.publish(ROOT + "ack", "{\"id\":\"shed-1\",\"by\":\"An\\u0007na\"}", false);

      Await.until("acknowledged", () -> !site.acknowledged.isEmpty());
      assertThat(site.acknowledged).containsExactly("shed-1 by Anna");
    }
  }

  @Test
  void heartbeatTellsAgesAndWhatWaits() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher =
            site.publisher(site.settings(broker.url()).heartbeatS(1).build())) {
      Await.until("first beat", () -> second.last(ROOT + "heartbeat").isPresent());
      publisher.reading("shed", Site.reading(3_310));

      Await.until(
          "age", () -> second.last(ROOT + "heartbeat").orElse("").matches(".*_age_s\":[0-9].*"));
      assertThat(second.texts(ROOT + "heartbeat").get(0))
          .contains("\"outbox_waiting\":0", "\"disk_free_mb\":1234");
      assertThat(second.all())
          .filteredOn(m -> m.topic().endsWith("heartbeat"))
          .noneMatch(Message::retained);
    }
  }

  @Test
  void thousandsOfEventsSurviveAnOutageInOrder() throws Exception {
    List<AlertEvent> events = Site.notices(3_000);
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until("connected", () -> publisher.status().connected());
      broker.stop();
      Await.until("noticed", () -> !publisher.status().connected());
      for (AlertEvent event : events) {
        publisher.event(event);
        site.outbox.commit(event);
      }
      broker.start();
      try (Subscriber second = new Subscriber(broker.url())) {
        Await.until("all delivered", () -> site.outbox.waitingCount() == 0);

        assertThat(site.delivered).containsExactlyElementsOf(ids(events));
        assertThat(second.texts(EVENTS).size()).isLessThanOrEqualTo(3_000);
      }
    }
  }

  static List<String> ids(List<AlertEvent> events) {
    return events.stream().map(AlertEvent::id).toList();
  }
}
