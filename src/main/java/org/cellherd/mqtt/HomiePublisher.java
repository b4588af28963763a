package org.cellherd.mqtt;

import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.mqtt.link.BrokerClient;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.Publication;
import org.cellherd.mqtt.link.Wakeup;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;

/**
 * Publishes a site as Homie devices: a root for the site, a child for each pack. Any thread; calls
 * return at once.
 */
final class HomiePublisher implements AutoCloseable {

  private final HomieTopics topics;
  private final Map<String, PackPlan> plans = new ConcurrentHashMap<>();
  private final Map<String, Long> nextNanos = new ConcurrentHashMap<>();
  private final long everyNanos;
  private final TimeSource time;
  private final Wakeup wakeup = new Wakeup();
  private final HomieState state = new HomieState(new RetainedStates(), new HomieLife());
  private final BrokerClient client;

  /**
   * A publisher that does not run yet.
   *
   * @param domain first topic word, usually {@code homie}
   * @param site a-z, 0-9 and hyphen
   * @param link how to reach the broker, with a client id of its own
   * @param keeping account of what the broker keeps
   * @param everyS seconds between two readings of a pack
   */
  public HomiePublisher(
      String domain,
      String site,
      LinkSettings link,
      int everyS,
      List<PackPlan> packs,
      Keeping keeping,
      TimeSource time) {
    this.topics = new HomieTopics(domain, site);
    this.everyNanos = everyS * 1_000_000_000L;
    this.time = time;
    packs.forEach(plan -> plans.put(plan.id(), plan));
    this.client =
        new BrokerClient(
            "cellherd-homie",
            link,
            new Publication(topics.attribute(topics.root(), "$state"), "lost", true),
            new HomieDuty(topics, List.copyOf(packs), state, keeping, time),
            time,
            wakeup);
  }

  /**
   * Refuses a first topic word that is none.
   *
   * @throws IllegalArgumentException with what would be right
   */
  public static void requireDomain(String domain) {
    HomieTopics.requireDomain(domain);
  }

  public void start() {
    client.start();
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
    Map<String, String> told = HomieValues.of(reading, plan.series());
    for (String property : HomieDescription.measured(plan)) {
      String topic = topics.attribute(device, property);
      // What the board no longer tells must not stand there as if it were told.
      if (told.containsKey(property) || state.values().holds(topic)) {
        state.values().put(topic, told.getOrDefault(property, ""));
      }
    }
    wakeup.signal();
  }

  /**
   * Whether a pack is heard.
   *
   * @param word {@code live}, {@code silent}, {@code asleep} or {@code starting}
   */
  public void state(String pack, String word) {
    state.lives().put(pack, word);
    put(pack, "state", word);
  }

  /** What is happening with a pack. */
  public void summary(String pack, String sentence) {
    // A zero-length payload would delete the topic; the convention writes no text as one 0 byte.
    String text = sentence.isEmpty() ? "\u0000" : sentence;
    put(pack, "summary", text);
  }

  private void put(String pack, String property, String text) {
    if (plans.containsKey(pack)) {
      state.values().put(topics.property(topics.device(pack), "pack", property), text);
      wakeup.signal();
    }
  }

  /** An alert as it stands, or as it was when it is over. */
  public void alert(Alert alert, boolean stands) {
    String pack = alert.key().pack();
    if (!pack.isEmpty() && !plans.containsKey(pack)) {
      return;
    }
    String topic = topic(alert.key());
    if (stands) {
      state.values().putUrgently(topic, alert.text());
    } else {
      state.values().removeUrgently(topic);
    }
    wakeup.signal();
  }

  /** Where an alert stands. */
  public String topic(AlertKey key) {
    String device = key.pack().isEmpty() ? topics.root() : topics.device(key.pack());
    return topics.alert(device, key.topic().replace('/', '-'));
  }

  /** All topics that this site's devices fill whatever happens. */
  public Set<String> topics() {
    Set<String> filled = new HashSet<>();
    filled.add(topics.attribute(topics.root(), "$state"));
    filled.add(topics.attribute(topics.root(), "$description"));
    for (PackPlan plan : plans.values()) {
      String device = topics.device(plan.id());
      filled.add(topics.attribute(device, "$state"));
      filled.add(topics.attribute(device, "$description"));
      HomieDescription.properties(plan).forEach(p -> filled.add(topics.attribute(device, p)));
    }
    return filled;
  }

  /** True for topics of this tree, whoever filled them. */
  public boolean owns(String topic) {
    return topic.startsWith(topics.tree());
  }

  /** A topic of an earlier run that is to be emptied, unless an alert stands there again. */
  public void empty(String topic) {
    state.values().emptyUnlessHeld(topic);
  }

  /** Says {@code disconnected} and leaves the broker; at most 2 s. */
  @Override
  public void close() {
    client.close();
  }
}
