package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.Await;
import org.cellherd.alert.AlertEvent;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.Publication;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Whatever a broker does, the publisher holds one line and its few threads, says each trouble once
 * with its cause, and delivers every event in order once a broker behaves. The judge is the other
 * end of the line, the thread list of the JVM and the log.
 */
@Execution(ExecutionMode.CONCURRENT)
class HostileBrokerTest {

  /** Short waits, since each mischief is waited out; a slow computer only makes the test longer. */
  private static final LinkSettings.Timing IMPATIENT =
      new LinkSettings.Timing(5, 1_500, 1_500, 5, 20);

  /** Receiver, sender, callback, pinger: what the client library runs for one connection. */
  private static final int THREADS_OF_A_CONNECTION = 4;

  private static final int EVENTS = 40;
  private static final Duration LONG = Duration.ofMinutes(2);

  private final TestSite site = new TestSite();

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.seeds", 6));
  }

  @ParameterizedTest
  @EnumSource(Mischief.class)
  void eachMischiefAgainAndAgainCostsNothing(Mischief mischief) throws Exception {
    play(List.of(mischief, mischief, mischief), 7);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void drawnMischiefInAnyOrderCostsNothing(long seed) throws Exception {
    Random random = new Random(seed);
    List<Mischief> plan = new ArrayList<>();
    Mischief[] all = Mischief.values();
    for (int i = 3 + random.nextInt(4); i > 0; i--) {
      plan.add(all[random.nextInt(all.length)]);
    }
    System.out.println("seed " + seed + ": " + plan);
    play(plan, seed);
  }

  private void play(List<Mischief> plan, long seed) throws Exception {
    String client = "hostile-" + seed + "-" + plan.hashCode();
    List<AlertEvent> events = TestSite.notices(EVENTS);
    try (HostileBroker broker = new HostileBroker(plan, seed);
        SaidLines said = new SaidLines(broker.url().toString());
        MqttPublisher publisher =
            site.publisher(
                site.settings(broker.url()).timing(IMPATIENT).clientId(client).build())) {
      for (AlertEvent event : events) {
        site.outbox.commit(event);
        publisher.event(event);
      }
      publisher.summary("shed", TestSite.summary("Resting."));

      Await.until("all delivered", LONG, () -> site.outbox.waitingCount() == 0);
      Await.until("every cause", LONG, () -> unsaid(broker.done(), said.lines()).isEmpty());
      // A mischief that breaks no line is the last that is met.
      Await.until("connected", LONG, () -> publisher.isConnected());

      assertThat(site.delivered.stream().distinct())
          .containsExactlyElementsOf(events.stream().map(AlertEvent::id).toList());
      assertThat(received(broker)).containsAll(events.stream().map(AlertEvent::id).toList());
      assertThat(broker.mostOpenLines()).as("lines at once").isLessThanOrEqualTo(2);
      Await.until("one line", () -> broker.openLines() == 1);
      Await.until("threads of one connection", () -> threadsOf(client) <= THREADS_OF_A_CONNECTION);
      eachIsSaidOnce(said.lines());
    }
    Await.until("no thread is left", () -> threadsOf(client) == 0);
  }

  private static List<Mischief> unsaid(List<Mischief> met, List<String> lines) {
    return met.stream()
        .filter(m -> !m.cause().isEmpty())
        .filter(m -> lines.stream().noneMatch(l -> l.matches(".*(" + m.cause() + ").*")))
        .toList();
  }

  private static void eachIsSaidOnce(List<String> lines) {
    List<String> warnings = lines.stream().filter(line -> !line.startsWith("connected")).toList();
    assertThat(new HashSet<>(warnings)).as("each once").hasSameSizeAs(warnings);
    assertThat(lines.size() - warnings.size()).as("connected").isBetween(1, warnings.size() + 1);
  }

  private static List<String> received(HostileBroker broker) {
    return broker.messages().stream()
        .filter(m -> m.topic().endsWith("/event"))
        .map(Publication::text)
        .map(text -> text.replaceFirst("\\{\"event\":\"([^\"]*)\".*", "$1"))
        .toList();
  }

  private static long threadsOf(String client) {
    return Thread.getAllStackTraces().keySet().stream()
        .filter(thread -> thread.getName().contains(client))
        .count();
  }
}
