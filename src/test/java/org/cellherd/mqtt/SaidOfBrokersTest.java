package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import org.cellherd.Await;
import org.cellherd.alert.AlertEvent;
import org.cellherd.mqtt.link.LinkSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** The last line of the log about a broker is true whenever it is read. */
class SaidOfBrokersTest {

  private static final LinkSettings.Timing IMPATIENT =
      new LinkSettings.Timing(5, 1_500, 300, 5, 20);

  @TempDir private Path folder;
  private final TestSite site = new TestSite();

  /** A broker that comes back before we ask again, each time while the line works. */
  @Test
  void aBrokerThatIsRestartedAgainAndAgainIsNoRival() throws Exception {
    try (Mosquitto broker = Mosquitto.open(folder);
        SaidLines said = new SaidLines(broker.url().toString());
        MqttPublisher publisher =
            site.publisher(
                site.settings(broker.url())
                    .timing(new LinkSettings.Timing(60, 60_000, 60_000, 2_000, 2_000))
                    .build())) {
      for (int i = 0; i < 5; i++) {
        Await.until("connected", () -> publisher.isConnected());
        int before = said.lines().size();
        broker.stop();
        Await.until("noticed", () -> !publisher.isConnected());
        Await.until("said", () -> said.lines().size() > before || !saysConnected(said));
        broker.start();
      }
      Await.until("connected", () -> publisher.isConnected());

      assertThat(said.lines()).noneMatch(l -> l.contains("another computer"));
    }
  }

  private static boolean saysConnected(SaidLines said) {
    List<String> lines = said.lines();
    return !lines.isEmpty() && lines.get(lines.size() - 1).contains("connected to");
  }

  /** Each tries to look like a broker that works. */
  @ParameterizedTest
  @EnumSource(names = {"NEVER_ACKNOWLEDGES", "FORGETS_STATES", "NO_SUBACK", "CLOSES_LATER"})
  void aBrokerThatFailsAgainAndAgainIsNotCalledConnectedInTheEnd(Mischief mischief)
      throws Exception {
    int times = 6;
    try (HostileBroker broker = new HostileBroker(Collections.nCopies(60, mischief), 3);
        SaidLines said = new SaidLines(broker.url().toString());
        MqttPublisher publisher =
            site.publisher(site.settings(broker.url()).timing(IMPATIENT).build())) {
      publisher.summary("shed", TestSite.summary("Resting."));
      AlertEvent event = TestSite.notices(1).get(0);
      site.outbox.commit(event);
      publisher.event(event);

      Await.until("tried again", () -> broker.done().size() >= times);

      assertThat(saysConnected(said)).as("%s", said.lines()).isFalse();
      assertThat(said.lines()).hasSizeLessThan(10);
      if (mischief == Mischief.NEVER_ACKNOWLEDGES) {
        assertThat(said.lines()).noneMatch(l -> l.contains("connected to"));
      }
    }
  }
}
