package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import org.cellherd.Await;
import org.cellherd.ComputerTime;
import org.cellherd.Tools;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.PackState;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.eclipse.paho.client.mqttv3.MqttClient;
import org.eclipse.paho.client.mqttv3.persist.MemoryPersistence;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;

/**
 * Homie convention 5, by its text of 17 October 2024: order of the life cycle, ids, datatypes,
 * alerts.
 */
@Execution(ExecutionMode.CONCURRENT)
class HomieTest {

  private static final String SITE = "homie/5/cellherd-home/";
  private static final String PACK = "homie/5/cellherd-home--shed/";
  private static final Set<String> DATATYPES =
      Set.of(
          "integer", "float", "boolean", "string", "enum", "color", "datetime", "duration", "json");
  private static final JsonReader JSON =
      new JsonReader(new JsonReader.Limits(65_536, 10, 1_000, 5_000));

  @TempDir Path folder;
  private final TestSite site = new TestSite();
  private BrokerUnderTest broker;

  @BeforeEach
  void startBroker() throws Exception {
    broker = Mosquitto.open(folder);
  }

  @AfterEach
  void stopBroker() {
    broker.close();
  }

  private MqttPublisher publisher() {
    return publisher(TestSite.reading(3_310));
  }

  private MqttPublisher publisher(Reading reading) {
    MqttPublisher publisher = site.publisher(site.settings(broker.url()).homie("homie").build());
    publisher.state("shed", new PackState(PackState.Word.LIVE, 0, ""));
    publisher.reading("shed", reading);
    return publisher;
  }

  @Test
  void devicesGoFromInitOverTheirDescriptionToReady() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      Await.until("ready", () -> second.has(PACK + "$state", "ready"));

      Await.until("connected", () -> publisher.isConnected());
      assertThat(second.texts(SITE + "$state")).containsSubsequence("init", "ready");
      List<String> topics = second.all().stream().map(Publication::topic).toList();
      assertThat(topics.indexOf(PACK + "$state")).isLessThan(topics.indexOf(PACK + "$description"));
      int ready = second.all().indexOf(new Publication(PACK + "$state", "ready", false));
      assertThat(topics.subList(0, ready))
          .contains(PACK + "$description", PACK + "cells/v03", PACK + "pack/voltage");
      assertThat(second.last(PACK + "cells/v03")).hasValue("3.3100");
      assertThat(second.last(PACK + "pack/current")).hasValue("1.500");
      assertThat(second.last(PACK + "pack/state")).hasValue("live");
    }
  }

  @Test
  void everyPropertyIsDescribedWithAKnownDatatypeAndId() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      publisher.summary("shed", TestSite.summary("Resting."));
      Await.until("summary", () -> second.last(PACK + "pack/summary").isPresent());
      Await.until("described", () -> second.last(PACK + "$description").isPresent());
      JsonValue description = JSON.read(second.last(PACK + "$description").orElseThrow());

      assertThat(description.text("homie").orElseThrow()).startsWith("5.");
      assertThat(description.whole("version").orElseThrow()).isPositive();
      assertThat(description.text("parent")).hasValue("cellherd-home");
      second.all().stream()
          .map(Publication::topic)
          .filter(topic -> topic.startsWith(PACK) && !topic.contains("$"))
          .forEach(topic -> assertDescribed(description, topic.substring(PACK.length())));
      assertThat(second.last(SITE + "$description").orElseThrow())
          .contains("\"children\":[\"cellherd-home--shed\"]");
    }
  }

  private static void assertDescribed(JsonValue description, String nodeAndProperty) {
    String[] ids = nodeAndProperty.split("/", -1);
    assertThat(ids).hasSize(2).allMatch(id -> id.matches("[a-z0-9-]+"));
    JsonValue property =
        description
            .get("nodes")
            .flatMap(nodes -> nodes.get(ids[0]))
            .flatMap(node -> node.get("properties"))
            .flatMap(properties -> properties.get(ids[1]))
            .orElseThrow(() -> new AssertionError("not described: " + nodeAndProperty));
    assertThat(DATATYPES).contains(property.text("datatype").orElseThrow());
  }

  @Test
  void descriptionKnowsTheWordsOfTheTranscribedExample() throws Exception {
    Path example = Tools.openData().resolve("standards/examples/homie_description.json");
    JsonValue theirs = JSON.read(Files.readString(example));
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      Await.until("ready", () -> second.has(PACK + "$state", "ready"));
      JsonValue ours = JSON.read(second.last(PACK + "$description").orElseThrow());

      Await.until("connected", () -> publisher.isConnected());
      for (String property : Arrays.asList("voltage", "current", "soc", "spread")) {
        assertThat(property(ours, property).text("unit"))
            .isEqualTo(property(theirs, property).text("unit"));
        assertThat(property(ours, property).text("datatype"))
            .isEqualTo(property(theirs, property).text("datatype"));
        assertThat(property(ours, property).text("format"))
            .isEqualTo(property(theirs, property).text("format"));
      }
    }
  }

  private static JsonValue property(JsonValue description, String name) {
    return description
        .get("nodes")
        .flatMap(nodes -> nodes.get("pack"))
        .flatMap(node -> node.get("properties"))
        .flatMap(properties -> properties.get(name))
        .orElseThrow();
  }

  @Test
  void alertsAreTextForPeopleAndDeletedWhenOver() throws Exception {
    String topic = PACK + "$alert/cell-high-cell-3";
    try (Subscriber second = new Subscriber(broker.url())) {
      second.publish(PACK + "$alert/hot", "left over", true);
      second.publish(PACK + "$alert/mine", "somebody else's", true);
      site.memory.left(PACK + "$alert/hot");
      try (MqttPublisher publisher = publisher()) {
        publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));
        Await.until("alert", () -> second.has(topic, "Cell 3 is at 3.661 V."));
        publisher.event(TestSite.event("e-2", AlertEvent.Change.CLEARED));

        Await.until("deleted", () -> second.has(topic, ""));
        Await.until("leftover deleted", () -> second.has(PACK + "$alert/hot", ""));
        assertThat(second.last(PACK + "$alert/mine")).hasValue("somebody else's");
      }
    }
  }

  @Test
  void alertOfTheSiteStandsAtTheRootDevice() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      publisher.event(TestSite.siteEvent("e-1", AlertEvent.Change.RAISED));

      Await.until("alert", () -> second.last(SITE + "$alert/store").isPresent());
    }
  }

  @Test
  void everyPayloadHasTheFormOfItsDatatype() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher(TestSite.fullReading())) {
      publisher.summary("shed", TestSite.summary(""));
      List<String> described = new ArrayList<>();
      Await.until("ready", () -> second.has(PACK + "$state", "ready"));
      JsonValue description = JSON.read(second.last(PACK + "$description").orElseThrow());
      for (String node : List.of("pack", "cells")) {
        JsonValue properties =
            description.get("nodes").orElseThrow().get(node).orElseThrow().get("properties").get();
        ((JsonValue.JsonObject) properties)
            .members()
            .forEach((id, property) -> described.add(node + "/" + id));
      }

      assertThat(described).hasSize(12);
      for (String id : described) {
        Await.until(id, () -> second.last(PACK + id).isPresent());
        assertDescribed(description, id);
        String node = id.substring(0, id.indexOf('/'));
        JsonValue property =
            description
                .get("nodes")
                .flatMap(nodes -> nodes.get(node))
                .flatMap(n -> n.get("properties"))
                .flatMap(p -> p.get(id.substring(id.indexOf('/') + 1)))
                .orElseThrow();
        assertThat(second.last(PACK + id).orElseThrow())
            .as(id)
            .matches(HomieForm.of(property.text("datatype").get(), property.text("format")));
      }
    }
  }

  @Test
  void whatTheBoardNoLongerTellsIsTakenBack() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher(TestSite.fullReading())) {
      Await.until("told", () -> second.last(PACK + "pack/soc").isPresent());
      Await.until(
          "taken back",
          () -> {
            publisher.reading("shed", TestSite.reading(3_310));
            return second.has(PACK + "pack/soc", "");
          });

      assertThat(second.last(PACK + "cells/v03")).hasValue("3.3100");
    }
  }

  @Test
  void versionRisesWithTheDescriptionAndNeverFallsWithTheClock() throws Exception {
    try (Subscriber second = new Subscriber(broker.url())) {
      long first = versionOfARun(second);
      site.time = new ComputerTime(-1_000_000_000_000L);
      long again = versionOfARun(second);
      site.packs = List.of(PackPlan.builder("shed", Chemistry.LFP, 5, 6, 27_000).build());
      long changed = versionOfARun(second);

      assertThat(again).isEqualTo(first);
      assertThat(changed).isEqualTo(first + 1);
    }
  }

  private long versionOfARun(Subscriber second) throws Exception {
    int before = second.texts(SITE + "$state").size();
    try (MqttPublisher run = publisher()) {
      Await.until("connected", () -> run.isConnected());
      Await.until(
          "ready",
          () ->
              second.texts(SITE + "$state").stream().skip(before).anyMatch(s -> s.equals("ready")));
    }
    return JSON.read(second.last(SITE + "$description").orElseThrow()).whole("version").orElse(-1);
  }

  @Test
  void deviceOfAPackThatIsNoMoreIsRemovedStateFirst() throws Exception {
    try (Subscriber second = new Subscriber(broker.url())) {
      versionOfARun(second);
      int before = second.all().size();
      site.packs = List.of(PackPlan.of("barn", Chemistry.LFP, 4, 1, 27_000));
      versionOfARun(second);

      List<Publication> emptied =
          second.all().stream()
              .skip(before)
              .filter(m -> m.topic().startsWith(PACK) && m.text().isEmpty())
              .toList();
      assertThat(emptied.get(0).topic()).isEqualTo(PACK + "$state");
      assertThat(emptied)
          .extracting(Publication::topic)
          .contains(PACK + "$description", PACK + "pack/voltage", PACK + "cells/v04");
      assertThat(second.all().stream().skip(before))
          .allMatch(m -> !m.topic().startsWith(PACK) || m.text().isEmpty());
    }
  }

  @Test
  void treeThatIsSwitchedOffIsRemoved() throws Exception {
    try (Subscriber second = new Subscriber(broker.url())) {
      versionOfARun(second);

      try (MqttPublisher without = site.publisher(broker.url())) {
        Await.until("removed", () -> second.has(SITE + "$state", ""));
        Await.until("all of it", () -> second.has(PACK + "cells/v04", ""));
        Await.until("connected", () -> without.isConnected());
      }
    }
  }

  @Test
  void cutLineSaysLostByWillAndTheDeviceBeginsAnew() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      Await.until("ready", () -> second.has(SITE + "$state", "ready"));
      int before = second.all().size();
      // A second client with the same id throws the first out, as MQTT has it.
      MqttClient rival =
          new MqttClient(
              "tcp://" + broker.url().hostAndPort(),
              "cellherd-home--homie",
              new MemoryPersistence());
      rival.connect();

      Await.until(
          "ready again",
          () ->
              second.all().stream()
                  .skip(before)
                  .anyMatch(m -> m.topic().equals(SITE + "$state") && m.text().equals("ready")));
      Await.until("connected", () -> publisher.isConnected());
      assertThat(second.all().stream().skip(before))
          .filteredOn(m -> m.topic().equals(SITE + "$state"))
          .extracting(Publication::text)
          .containsExactly("lost", "init", "ready");
      rival.close(true);
    }
  }

  @Test
  void everythingIsRetainedUnderIdsThatTheConventionAllows() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      publisher.event(TestSite.event("e-1", AlertEvent.Change.RAISED));
      Await.until("ready", () -> second.has(PACK + "$state", "ready"));
      Await.until("alert", () -> second.last(PACK + "$alert/cell-high-cell-3").isPresent());
      List<Publication> live =
          second.all().stream().filter(m -> m.topic().startsWith("homie/")).toList();

      assertThat(live)
          .extracting(Publication::topic)
          .allMatch(
              topic ->
                  topic.matches(
                      "homie/5/[a-z0-9-]+/(\\$state|\\$description|\\$alert/[a-z0-9-]+"
                          + "|[a-z0-9-]+/[a-z0-9-]+)"));
      try (Subscriber late = new Subscriber(broker.url())) {
        for (Publication filled : live.stream().filter(m -> !m.text().isEmpty()).toList()) {
          Await.until(filled.topic(), () -> late.last(filled.topic()).isPresent());
        }
      }
    }
  }

  @Test
  void silentPackIsLostAndACleanStopDisconnected() throws Exception {
    try (Subscriber second = new Subscriber(broker.url())) {
      MqttPublisher publisher = publisher();
      Await.until("ready", () -> second.has(PACK + "$state", "ready"));
      publisher.state("shed", new PackState(PackState.Word.SILENT, 0, "no-bytes"));
      Await.until("lost", () -> second.has(PACK + "$state", "lost"));

      publisher.close();

      Await.until("disconnected", () -> second.has(SITE + "$state", "disconnected"));
      assertThat(second.last(PACK + "$state")).hasValue("disconnected");
      assertThat(second.texts(SITE + "$state")).containsOnlyOnce("disconnected");
      assertThat(second.texts(SITE + "$state")).doesNotContain("lost");
    }
  }
}
