package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.cellherd.Await;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/** What a publisher owes its site, whatever the broker. */
@Execution(ExecutionMode.CONCURRENT)
abstract class PublisherContract {

  static final String ROOT = "cellherd/home/";
  private static final String EVENTS = ROOT + "shed/event";
  private static final String ALERT = ROOT + "shed/alert/cell-high/cell-3";

  final TestSite site = new TestSite();
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
      publisher.reading("shed", TestSite.reading(3_310));
      Await.until("connected", () -> publisher.isConnected());
      try (Subscriber late = new Subscriber(broker.url())) {
        Await.until("reading", () -> late.last(ROOT + "shed/reading").isPresent());
        Await.until("link", () -> late.last(ROOT + "link").isPresent());

        assertThat(late.last(ROOT + "link")).hasValue("online");
        assertThat(late.last(ROOT + "shed/reading").orElseThrow())
            .contains("\"time\":\"2026-01-01T00:00:00Z\"", "\"valid_s\":30", "\"cell_3_v\":3.31");
      }
    }
  }

  /** Whoever comes late finds what stands, with every promised key, and no event of the past. */
  @Test
  void whatStandsIsRetainedWithItsKeysAndEventsAreNot() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      publisher.state("shed", new PackState(PackState.Word.SILENT, 0, "no-bytes"));
      publisher.summary("shed", TestSite.summary("Resting."));
      publisher.finding(
          "shed",
          ResultForm.finding(
              FindingName.REST, 0, 60_000, Facts.of().put("hours", 1, 0).build(), "Rested."));
      publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));
      Await.until("event", () -> !second.texts(EVENTS).isEmpty());
      Await.until("alert", () -> second.last(ALERT).isPresent());
      Await.until("beat", () -> second.last(ROOT + "heartbeat").isPresent());
      Await.until("finding", () -> second.last(ROOT + "shed/finding/rest").isPresent());
      Await.until("summary", () -> second.last(ROOT + "shed/summary").isPresent());

      try (Subscriber late = new Subscriber(broker.url())) {
        Await.until("alert kept", () -> late.last(ALERT).isPresent());
        Await.until("summary kept", () -> late.last(ROOT + "shed/summary").isPresent());
        Await.until("finding kept", () -> late.last(ROOT + "shed/finding/rest").isPresent());
        Await.until("state kept", () -> late.last(ROOT + "shed/state").isPresent());
        assertThat(late.last(ROOT + "shed/state"))
            .hasValue(
                "{\"state\":\"silent\",\"since\":\"1970-01-01T00:00:00Z\",\"cause\":\"no-bytes\"}");
        assertThat(late.last(ROOT + "shed/summary").orElseThrow())
            .contains("\"sentence\":\"Resting.\"", "\"worst\":null", "\"open_alerts\":0")
            .contains("\"spread_mv\":null", "\"soc_pct\":null", "\"eta_h\":null")
            .contains("\"days_since_full\":null", "\"time\":\"1970-01-01T00:00:00Z\"");
        assertThat(late.last(ROOT + "shed/finding/rest").orElseThrow())
            .contains("\"finding\":\"rest\"", "\"text\":\"Rested.\"", "\"hours\":1,");
        assertThat(late.all())
            .filteredOn(Publication::retained)
            .noneMatch(m -> m.topic().equals(EVENTS) || m.topic().endsWith("/heartbeat"));
      }
    }
  }

  /** Its age tells whoever comes later that nobody spoke this morning. */
  @Test
  void theLineOfTheDayIsRetainedWithItsTime() throws Exception {
    MorningLine.Part part = new MorningLine.Part("shed", "Shed: Resting.", 0, Optional.empty());
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      publisher.morning(new MorningLine(1_767_225_600_000L, "2026-01-01", 93_600, List.of(part)));
      Await.until("connected", () -> publisher.isConnected());
      try (Subscriber late = new Subscriber(broker.url())) {
        Await.until("line", () -> late.last(ROOT + "morning").isPresent());

        assertThat(late.last(ROOT + "morning").orElseThrow())
            .startsWith("{\"time\":\"2026-01-01T00:00:00Z\",\"day\":\"2026-01-01\"")
            .contains("\"valid_s\":93600", "\"text\":\"Shed: Resting.\"", "\"worst\":null");
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
              publisher.reading("shed", TestSite.reading(3_310));
            }
            return publisher.isConnected();
          });

      assertThat(site.troubles).isEmpty();
    }
  }

  @Test
  void freshEventIsDeliveredAndLeavesTheOutbox() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      AlertEvent event = TestSite.event("e-1", AlertEvent.Change.RAISED);
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
      publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));
      Await.until("alert", () -> second.last(ALERT).isPresent());

      publisher.event(TestSite.event("e-2", AlertEvent.Change.CLEARED));

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
      site.memory.left(gone, oldPack, ALERT);
      Alert standing = TestSite.alert(CellHigh.ID, 3, AlertState.ACTIVE);

      try (MqttPublisher publisher = site.publisher(broker.url(), standing)) {
        Await.until("emptied", () -> second.has(gone, "") && second.has(oldPack, ""));
        Await.until("connected", () -> publisher.isConnected());
        assertThat(second.last(ALERT).orElseThrow()).contains("cell-high");
        assertThat(second.texts("elsewhere/shed/alert/hot")).containsExactly("x");
        assertThat(second.texts(ALERT)).doesNotContain("");
      }
    }
  }

  /** A disk that takes nothing has neither the alert nor the list of what the broker keeps. */
  @Test
  void alertOfADiskThatTookNothingIsEmptiedByTheRunAfterAPowerLoss() throws Exception {
    String topic = ROOT + "shed/alert/store";
    Alert full = TestSite.alert(StoreFault.ID, 0, AlertState.ACTIVE);
    site.memory.refuses(true);
    MqttPublisher first = site.publisher(broker.url());
    first.event(new AlertEvent("e-1", AlertEvent.Change.RAISED, full));
    try (Subscriber second = new Subscriber(broker.url())) {
      Await.until("alert", () -> second.last(topic).isPresent());
      first.close();
      assertThat(site.memory.recall().topics()).isEmpty();
      site.memory.refuses(false);

      try (MqttPublisher next = site.publisher(broker.url())) {
        Await.until("connected", () -> next.isConnected());
        Await.until("emptied", () -> second.has(topic, ""));
      }
    }
  }

  /** Any rule, any cell: around a kill on a full disk nothing but the broker knows of an alert. */
  @Test
  void alertsThatOnlyTheBrokerKnowsAreEmptiedAndNothingElseIs() throws Exception {
    long seed = Long.getLong("cellherd.seed", 77);
    Random random = new Random(seed);
    Set<String> known = new HashSet<>();
    try (Subscriber second = new Subscriber(broker.url())) {
      for (int i = 0; i < 12; i++) {
        int cell = random.nextInt(5);
        String rule = "drawn-" + random.nextInt(40) + (cell == 0 ? "" : "/cell-" + cell);
        known.add(ROOT + "shed/alert/" + rule);
      }
      for (String topic : known) {
        second.publish(topic, "{\"state\":\"active\"}", true);
      }
      second.publish(ALERT, "{\"state\":\"active\"}", true);
      List<String> others =
          List.of(ROOT + "barn/alert/hot", ROOT + "shed/alerts", "x/shed/alert/hot");
      for (String topic : others) {
        second.publish(topic, "x", true);
      }
      Await.until("kept", () -> others.stream().allMatch(topic -> second.has(topic, "x")));
      Alert standing = TestSite.alert(CellHigh.ID, 3, AlertState.ACTIVE);

      try (MqttPublisher publisher = site.publisher(broker.url(), standing)) {
        Await.until("emptied, seed " + seed, () -> known.stream().allMatch(t -> second.has(t, "")));
        Await.until("connected", () -> publisher.isConnected());
        assertThat(second.texts(ALERT)).doesNotContain("");
        others.forEach(topic -> assertThat(second.texts(topic)).containsExactly("x"));
      }
    }
  }

  @Test
  void whatTheBrokerKeepsIsRememberedOnceTheDiskTakesIt() throws Exception {
    site.memory.refuses(true);
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));
      Await.until("alert", () -> second.last(ALERT).isPresent());
      Await.until("refused", () -> site.memory.refused() > 0);
      site.memory.refuses(false);

      publisher.summary("shed", TestSite.summary("Charging."));

      Await.until("remembered", () -> site.memory.recall().topics().contains(ALERT));
    }
  }

  @Test
  void announcementWhoseTemplateIsGoneIsEmptiedAtTheNextStart() throws Exception {
    AnnouncePlan.Announce each =
        new AnnouncePlan.Announce(
            "dash/${cell.number}", "here", AnnouncePlan.Announce.Per.CELL, true);
    try (Subscriber second = new Subscriber(broker.url())) {
      try (MqttPublisher first =
          site.publisher(site.settings(broker.url()).announce(List.of(each)).build())) {
        Await.until("announced", () -> second.has("dash/4", "here"));
        Await.until("connected", () -> first.isConnected());
      }
      site.packs = List.of(PackPlan.builder("shed", Chemistry.LFP, 2, 6, 27_000).build());
      try (MqttPublisher next =
          site.publisher(site.settings(broker.url()).announce(List.of(each)).build())) {
        Await.until("emptied", () -> second.has("dash/3", "") && second.has("dash/4", ""));
        Await.until("forgotten", () -> !site.memory.recall().topics().contains("dash/4"));
        Await.until("connected", () -> next.isConnected());
      }
      assertThat(second.texts("dash/1")).doesNotContain("");
      assertThat(site.memory.recall().topics()).contains("dash/1", ROOT + "link");
    }
  }

  @Test
  void twoProgramsUnderOneRootLeaveEachOthersAlertsAloneAndSaySo() throws Exception {
    TestSite other = new TestSite();
    other.packs = List.of(PackPlan.of("barn", Chemistry.LFP, 4, 1, 27_000));
    MqttSettings theirs = other.settings(broker.url()).clientId("other").heartbeatS(1).build();
    Alert standing = TestSite.alert(CellHigh.ID, 3, AlertState.ACTIVE);
    try (MqttPublisher ours = site.publisher(broker.url(), standing)) {
      Await.until("connected", () -> ours.isConnected());
      try (MqttPublisher late = other.publisher(theirs)) {
        late.state("barn", new PackState(PackState.Word.LIVE, 0, ""));
        Await.until("noticed", () -> !site.neighbours.isEmpty());
        assertThat(site.neighbours)
            .containsExactly(
                "another program publishes under cellherd/home, pack barn: both write its link and"
                    + " its site's alerts; give each its own site, or root in [mqtt]");
      }
      try (Subscriber second = new Subscriber(broker.url())) {
        Await.until("still there", () -> second.last(ALERT).isPresent());
        Await.until("theirs too", () -> second.last(ROOT + "barn/state").isPresent());
      }
    }
  }

  @Test
  void checkTellsWhoElseLivesUnderTheRootAndChangesNothing() throws Exception {
    RememberedTopics left = new RememberedTopics();
    try (Subscriber second = new Subscriber(broker.url())) {
      assertThat(strangers("first", left)).isEmpty();
      second.publish(ROOT + "shed/state", "{}", true);
      second.publish(ROOT + "barn/state", "{}", true);
      second.publish(ROOT + "Barn \u00c4/state", "{}", true);
      Await.until("kept", () -> states(second) == 3);

      assertThat(strangers("second", left))
          .hasValue(
              "the broker keeps, under cellherd/home, what another program published: pack barn;"
                  + " give each program its own site, or root in [mqtt]");
      left.left(ROOT + "barn/state");
      assertThat(strangers("third", left)).as("a pack of ours that has left the config").isEmpty();
      assertThat(states(second)).isEqualTo(3);
      assertThat(second.all()).noneMatch(m -> m.retained() && m.topic().endsWith("/check"));
    }
  }

  /** By a client of its own each: a broker may still be taking leave of the one before. */
  private Optional<String> strangers(String client, RememberedTopics left) throws Exception {
    MqttSettings settings = site.settings(broker.url()).clientId(client).build();
    return RootCheck.strangers(settings, Set.of("shed"), site.time, left);
  }

  private static long states(Subscriber second) {
    return second.all().stream().filter(m -> m.topic().endsWith("/state")).count();
  }

  @Test
  void ownHeartbeatsAreNoNeighbour() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher =
            site.publisher(site.settings(broker.url()).heartbeatS(1).build())) {
      second.publish(ROOT + "heartbeat", "{\"packs\":[{\"pack\":\"b\\u001b[2J\"}]}", false);
      second.publish(ROOT + "heartbeat", "[".repeat(5_000), false);
      Await.until("two beats", () -> second.texts(ROOT + "heartbeat").size() >= 4);
      Await.until("connected", () -> publisher.isConnected());

      assertThat(site.neighbours).isEmpty();
    }
  }

  @Test
  void acknowledgementsComeInAndNonsenseDoesNot() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until("online", () -> second.has(ROOT + "link", "online"));
      Await.until("connected", () -> publisher.isConnected());
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
      publisher.reading("shed", TestSite.reading(3_310));

      Await.until(
          "age", () -> second.last(ROOT + "heartbeat").orElse("").matches(".*_age_s\":[0-9].*"));
      assertThat(second.texts(ROOT + "heartbeat").get(0))
          .contains("\"outbox_waiting\":0", "\"disk_free_mb\":1234");
      assertThat(second.all())
          .filteredOn(m -> m.topic().endsWith("heartbeat"))
          .noneMatch(Publication::retained);
    }
  }

  @Test
  void thousandsOfEventsSurviveAnOutageInOrder() throws Exception {
    List<AlertEvent> events = TestSite.notices(3_000);
    try (MqttPublisher publisher = site.publisher(broker.url())) {
      Await.until("connected", () -> publisher.isConnected());
      broker.stop();
      Await.until("noticed", () -> !publisher.isConnected());
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
