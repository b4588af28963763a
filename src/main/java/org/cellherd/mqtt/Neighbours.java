package org.cellherd.mqtt;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.PackPlan;

/**
 * Notices another program that publishes under our root: heartbeats come that are not ours. Our own
 * come back word for word. Publisher's thread.
 */
final class Neighbours {

  private static final JsonReader READER =
      new JsonReader(new JsonReader.Limits(65_536, 4, 200, 2_000));
  private static final int MOST_OWN = 8;
  private static final int MOST_NAMED = 5;
  private static final long AGAIN_NANOS = TimeUnit.HOURS.toNanos(1);

  private final Topics topics;
  private final Set<String> ourPacks;
  private final Deque<String> own = new ArrayDeque<>();
  private boolean told;
  private long toldNanos;

  Neighbours(Topics topics, Set<String> ourPacks) {
    this.topics = topics;
    this.ourPacks = ourPacks;
  }

  /** We send a heartbeat. */
  void sent(String beat) {
    own.addLast(beat);
    if (own.size() > MOST_OWN) {
      own.removeFirst();
    }
  }

  /** A heartbeat came: a warning for people when it is another's, at most once an hour. */
  Optional<String> heard(String beat, long nowNanos) {
    if (own.contains(beat) || (told && nowNanos - toldNanos < AGAIN_NANOS)) {
      return Optional.empty();
    }
    List<String> packs = packs(beat);
    if (packs.isEmpty()) {
      return Optional.empty();
    }
    told = true;
    toldNanos = nowNanos;
    return Optional.of(warning(topics.root(), packs, ourPacks));
  }

  /** What to tell of another's packs under a root. */
  static String warning(String root, List<String> packs, Set<String> ourPacks) {
    List<String> both = packs.stream().filter(ourPacks::contains).toList();
    return "another program publishes under "
        + root
        + ", pack "
        + String.join(", ", packs)
        + (both.isEmpty()
            ? ": both write its link and its site's alerts"
            : ": both speak for " + String.join(", ", both))
        + "; give each its own site, or root in [mqtt]";
  }

  private static List<String> packs(String beat) {
    try {
      List<String> packs = new ArrayList<>();
      for (JsonValue pack : READER.read(beat).items("packs")) {
        pack.text("pack").filter(PackPlan::isId).ifPresent(packs::add);
      }
      return packs.subList(0, Math.min(MOST_NAMED, packs.size()));
    } catch (JsonReader.Problem none) {
      return List.of();
    }
  }
}
