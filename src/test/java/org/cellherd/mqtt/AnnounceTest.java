package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.cellherd.Await;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.Publication;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class AnnounceTest {

  private static final BrokerUrl NOWHERE = new BrokerUrl(false, "127.0.0.1", 1);
  private final TestSite site = new TestSite();

  private AnnouncePlan plan(AnnouncePlan.Announce... templates) {
    return AnnouncePlan.of(
        site.settings(NOWHERE).announce(List.of(templates)).build(), List.of(TestSite.SHED));
  }

  @Test
  void templateIsRenderedOnceForEachCellWithEscapedValues() {
    AnnouncePlan plan =
        plan(
            new AnnouncePlan.Announce(
                "found/${pack.id}/c${cell.number}",
                "{\"name\":\"${pack.name} ${cell.number}\",\"topic\":\"${topic.reading}\","
                    + "\"key\":\"${cell.key}\",\"stale_s\":${valid_s}}",
                AnnouncePlan.Announce.Per.CELL,
                true));

    assertThat(plan.problems()).isEmpty();
    assertThat(plan.messages())
        .hasSize(4)
        .contains(
            new Publication(
                "found/shed/c3",
                "{\"name\":\"Shed \\\"A\\\" 3\",\"topic\":\"cellherd/home/shed/reading\","
                    + "\"key\":\"cell_3_v\",\"stale_s\":30}",
                true));
  }

  @Test
  void templateIsRenderedOnceForEachValueWithItsUnitAndTopic() {
    AnnouncePlan plan =
        plan(
            new AnnouncePlan.Announce(
                "found/${pack.id}/${value.key}",
                "{\"name\":\"${value.name}\",\"unit\":\"${value.unit}\",\"topic\":\"${value.topic}\"}",
                AnnouncePlan.Announce.Per.VALUE,
                true));

    assertThat(plan.problems()).isEmpty();
    assertThat(plan.messages())
        .contains(
            new Publication(
                "found/shed/current_a",
                "{\"name\":\"Current\",\"unit\":\"A\",\"topic\":\"cellherd/home/shed/reading\"}",
                true),
            new Publication(
                "found/shed/sentence",
                "{\"name\":\"What is happening\",\"unit\":\"\","
                    + "\"topic\":\"cellherd/home/shed/summary\"}",
                true));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      quoteCharacter = '~',
      value = {
        "a/${pack.idd}|x|unknown placeholder ${pack.idd}; known for pack: ",
        "a/${pack.id|x|unknown placeholder ${pack.id",
        "a/+/${pack.id}|x|is empty, too long, or holds + or #",
        "a/${topic.reading}|x|the value of ${topic.reading} for pack shed holds + # or /",
        "cellherd/home/${pack.id}|x|lies under our own root",
        "$SYS/${pack.id}|x|begins with $",
        "a/${pack.id}|{\"a\":${pack.name}}|begins like JSON and is none",
        "a/${pack.id}|${cell.number}|unknown placeholder ${cell.number}",
      })
  void mistakesAreNamedBeforeAnythingStarts(String topic, String payload, String why) {
    AnnouncePlan plan =
        plan(new AnnouncePlan.Announce(topic, payload, AnnouncePlan.Announce.Per.PACK, true));

    assertThat(plan.problems()).hasSize(1);
    assertThat(plan.problems().get(0)).startsWith("mqtt.announce 1 ").contains(why);
  }

  @Test
  void sameTopicForTwoCellsIsRefused() {
    assertThat(
            plan(new AnnouncePlan.Announce("a/b", "x", AnnouncePlan.Announce.Per.CELL, true))
                .problems()
                .get(0))
        .contains("is the same for pack shed cell 2 and mqtt.announce 1 for pack shed cell 1");
  }

  @Test
  void announcementsArePublishedAfterTheConnection() throws Exception {
    AnnouncePlan.Announce announce =
        new AnnouncePlan.Announce("found/${site}", "hello", AnnouncePlan.Announce.Per.SITE, true);
    try (TestBroker broker = TestBroker.open();
        Subscriber second = new Subscriber(broker.url());
        MqttPublisher publisher =
            site.publisher(site.settings(broker.url()).announce(List.of(announce)).build())) {
      Await.until("announced", () -> second.has("found/home", "hello"));
      Await.until("connected", publisher::isConnected);
    }
  }
}
