package org.cellherd.mqtt.homie;

import java.util.List;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;
import org.cellherd.alert.Alert;
import org.cellherd.mqtt.link.Courier;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.Message;
import org.cellherd.mqtt.link.RetainedStates;
import org.cellherd.mqtt.link.Wakeup;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;

/**
 * Publishes a site as Homie devices: a root for the site, a child for each pack. Any thread; calls
 * return at once.
 */
public final class HomiePublisher implements AutoCloseable {

  private final HomieTopics topics;
  private final Map<String, PackPlan> plans = new ConcurrentHashMap<>();
  private final Map<String, Long> nextNanos = new ConcurrentHashMap<>();
  private final long everyNanos;
  private final TimeSource time;
  private final Wakeup wakeup = new Wakeup();
  private final HomieState state = new HomieState(new RetainedStates(), new HomieLife());
  private final Courier courier;

  /**
   * A publisher that does not run yet.
   *
   * @param domain first topic word, usually {@code homie}
   * @param site a-z, 0-9 and hyphen
   * @param link how to reach the broker, with a client id of its own
   * @param everyS seconds between two readings of a pack
   */
  public HomiePublisher(
      String domain,
      String site,
      LinkSettings link,
      int everyS,
      List<PackPlan> packs,
      TimeSource time) {
    this.topics = new HomieTopics(domain, site);
    this.everyNanos = everyS * 1_000_000_000L;
    this.time = time;
    packs.forEach(plan -> plans.put(plan.id(), plan));
    this.courier =
        new Courier(
            "cellherd-homie",
            link,
            new Message(topics.attribute(topics.root(), "$state"), "lost", true),
            new HomieDuty(topics, List.copyOf(packs), state, time.wallMs() / 1000),
            time,
            wakeup);
  }

  /** Begins. */
  public void start() {
    courier.start();
  }

  /** A new reading; those in between are skipped. */
  public void reading(String pack, Reading reading) {
    PackPlan plan = plans.get(pack);
    long now = time.monotonicNanos();
    Long next = nextNanos.get(pack);
    if (plan == null || (next != null && next - now > 0)) {
      return;
    }
    nextNanos.put(pack, now + everyNanos);
    String device = topics.device(pack);
    HomieValues.of(reading, plan.series())
        .forEach((name, value) -> state.values().put(topics.attribute(device, name), value));
    wakeup.signal();
  }

  /**
   * Whether a pack is heard.
   *
   * @param word {@code live}, {@code silent}, {@code asleep} or {@code starting}
   */
  public void state(String pack, String word) {
    state.lives().put(pack, word);
    state.values().put(topics.property(topics.device(pack), "pack", "state"), word);
    wakeup.signal();
  }

  /** What is happening with a pack. */
  public void summary(String pack, String sentence) {
    // A zero-length payload would delete the topic; the convention writes no text as one 0 byte.
    String text = sentence.isEmpty() ? "\u0000" : sentence;
    state.values().put(topics.property(topics.device(pack), "pack", "summary"), text);
    wakeup.signal();
  }

  /** An alert as it stands, or as it was when it is over. */
  public void alert(Alert alert, boolean stands) {
    if (!plans.containsKey(alert.key().pack())) {
      return;
    }
    String id = alert.key().topic().replace('/', '-');
    String topic = topics.alert(topics.device(alert.key().pack()), id);
    if (stands) {
      state.values().putUrgently(topic, alert.text());
    } else {
      state.values().removeUrgently(topic);
    }
    wakeup.signal();
  }

  /** Says {@code disconnected} and leaves the broker; at most 2 s. */
  @Override
  public void close() {
    courier.close();
  }
}
