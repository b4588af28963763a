package org.cellherd.mqtt;

import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.cellherd.alert.AlertKey;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.PackPlan;

/**
 * Every topic of one site.
 *
 * @param root without a slash at its end, such as {@code cellherd/shed}
 */
public record Topics(String root) {

  /** Words below the root that no pack may have as its id. */
  public static final Set<String> RESERVED = Set.of("link", "heartbeat", "ack", "morning", "site");

  private static final int LONGEST = 200;

  /** Refuses a root that cannot be published under. */
  public Topics {
    // The length first: each word of a root costs the pattern a step of the stack.
    if (root.length() > LONGEST
        || root.startsWith("$")
        || !root.matches("[^+#\\x00-\\x1F/]+(/[^+#\\x00-\\x1F/]+)*")) {
      throw new IllegalArgumentException(
          "topic root '" + root + "' must be words with / between them, without + # and $");
    }
  }

  /** {@code online}, {@code stopped} or, by the last will, {@code lost}; retained. */
  public String link() {
    return root + "/link";
  }

  /** Each 60 s, not retained. */
  public String heartbeat() {
    return root + "/heartbeat";
  }

  /** The line of the day, retained. */
  public String morning() {
    return root + "/morning";
  }

  /** Listened to. */
  public String ack() {
    return root + "/ack";
  }

  /** What came of each acknowledgement, not retained. */
  public String ackAnswer() {
    return root + "/ack/answer";
  }

  /** Where {@code cellherd check} tries whether the broker acknowledges; not retained. */
  public String check() {
    return root + "/check";
  }

  /** The newest reading, retained. */
  public String reading(String pack) {
    return root + "/" + pack + "/reading";
  }

  /** Whether the pack is heard, retained. */
  public String state(String pack) {
    return root + "/" + pack + "/state";
  }

  /** One sentence and the few numbers that matter, retained. */
  public String summary(String pack) {
    return root + "/" + pack + "/summary";
  }

  /** A standing alert, retained; emptied when over. */
  public String alert(AlertKey key) {
    return root + "/" + home(key.pack()) + "/alert/" + key.topic();
  }

  /** Matches every alert of a pack. */
  String alerts(String pack) {
    return root + "/" + pack + "/alert/#";
  }

  /** True for an alert's topic. */
  boolean isAlert(String topic, List<PackPlan> packs) {
    return packs.stream().anyMatch(p -> topic.startsWith(root + "/" + p.id() + "/alert/"));
  }

  /** Every change of an alert, not retained. */
  public String event(String pack) {
    return root + "/" + home(pack) + "/event";
  }

  /** The newest finding of a kind, retained. */
  public String finding(String pack, FindingName name) {
    return root + "/" + pack + "/finding/" + name.word();
  }

  /** All retained topics that are filled whatever happens: of the site and of these packs. */
  Set<String> standing(List<PackPlan> packs) {
    Set<String> topics = new HashSet<>(Set.of(link(), morning()));
    for (PackPlan plan : packs) {
      topics.add(reading(plan.id()));
      topics.add(state(plan.id()));
      topics.add(summary(plan.id()));
      for (FindingName name : FindingName.values()) {
        topics.add(finding(plan.id(), name));
      }
    }
    return topics;
  }

  /** What concerns no single pack. */
  private static String home(String pack) {
    return pack.isEmpty() ? "site" : pack;
  }
}
