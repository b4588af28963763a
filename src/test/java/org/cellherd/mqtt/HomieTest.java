package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import org.cellherd.Await;
import org.cellherd.Tools;
import org.cellherd.alert.AlertEvent;
import org.cellherd.json.JsonLimits;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.mqtt.link.Message;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Homie convention 5, by its text of 17 October 2024: order of the life cycle, ids, datatypes,
 * alerts.
 */
class HomieTest {

  private static final String SITE = "homie/5/cellherd-home/";
  private static final String PACK = "homie/5/cellherd-home-shed/";
  private static final Set<String> DATATYPES =
      Set.of(
          "integer", "float", "boolean", "string", "enum", "color", "datetime", "duration", "json");
  private static final JsonReader JSON = new JsonReader(new JsonLimits(65_536, 10, 1_000, 5_000));

  @TempDir Path folder;
  private final Site site = new Site();
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
    MqttPublisher publisher = site.publisher(site.settings(broker.url()).homie("homie").build());
    publisher.state("shed", new PackState(PackState.Word.LIVE, 0, ""));
    publisher.reading("shed", Site.reading(3_310));
    return publisher;
  }

  @Test
  void devicesGoFromInitOverTheirDescriptionToReady() throws Exception {
    try (Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher = publisher()) {
      Await.until("ready", () -> second.has(PACK + "$state", "ready"));

      assertThat(publisher.status().connected()).isTrue();
      assertThat(second.texts(SITE + "$state")).containsSubsequence("init", "ready");
      List<String> topics = second.all().stream().map(Message::topic).toList();
      assertThat(topics.indexOf(PACK + "$state")).isLessThan(topics.indexOf(PACK + "$description"));
      int ready = second.all().indexOf(new Message(PACK + "$state", "ready", false));
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
      publisher.summary(
          "shed",
          new PackSummary(
              0,
              "Resting.",
              Optional.empty(),
              0,
              OptionalDouble.empty(),
              Optional.empty(),
              Optional.empty(),
              OptionalDouble.empty()));
      Await.until("summary", () -> second.last(PACK + "pack/summary").isPresent());
      Await.until("described", () -> second.last(PACK + "$description").isPresent());
      JsonValue description = JSON.read(second.last(PACK + "$description").orElseThrow());

      assertThat(description.text("homie").orElseThrow()).startsWith("5.");
      assertThat(description.whole("version").orElseThrow()).isPositive();
      assertThat(description.text("parent")).hasValue("cellherd-home");
      second.all().stream()
          .map(Message::topic)
          .filter(topic -> topic.startsWith(PACK) && !topic.contains("$"))
          .forEach(topic -> assertDescribed(description, topic.substring(PACK.length())));
      assertThat(second.last(SITE + "$description").orElseThrow())
          .contains("\"children\":[\"cellherd-home-shed\"]");
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

      assertThat(publisher.status().connected()).isTrue();
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
      try (MqttPublisher publisher = publisher()) {
        publisher.event(Site.event("e-1", AlertEvent.Change.RAISED));
        Await.until("alert", () -> second.has(topic, "Cell 3 is at 3.661 V."));
        publisher.event(Site.event("e-2", AlertEvent.Change.CLEARED));

        Await.until("deleted", () -> second.has(topic, ""));
        Await.until("leftover deleted", () -> second.has(PACK + "$alert/hot", ""));
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
      assertThat(second.texts(SITE + "$state")).doesNotContain("lost");
    }
  }
}
