package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Tells requests from answers where both were heard on one wire: a request is said again and again
 * in the same bytes, and what follows it differs; the two take turns.
 */
final class RequestsHeard {

  private static final int FEWEST = 3;

  /** Requests or answers that noise broke leave two of a kind in a row. */
  private static final int TURNS_PERCENT = 70;

  private final List<Sample> messages;
  private final Set<Sample> requests = new HashSet<>();

  RequestsHeard(List<Sample> messages) {
    this.messages = messages;
    Map<Sample, Set<Sample>> followers = new HashMap<>();
    Map<Sample, Integer> counts = new HashMap<>();
    for (int i = 0; i + 1 < messages.size(); i++) {
      counts.merge(messages.get(i), 1, Integer::sum);
      Set<Sample> seen = followers.computeIfAbsent(messages.get(i), k -> new HashSet<>());
      if (seen.size() < FEWEST) {
        seen.add(messages.get(i + 1));
      }
    }
    counts.forEach(
        (message, count) -> {
          if (count >= FEWEST && followers.getOrDefault(message, Set.of()).size() >= FEWEST) {
            requests.add(message);
          }
        });
  }

  /** The answers, each with its request; all messages as they are where they take no turns. */
  List<Sample> answers() {
    List<Sample> answers = new ArrayList<>();
    int asking = 0;
    for (int i = 0; i < messages.size(); i++) {
      boolean isRequest = requests.contains(messages.get(i));
      asking += isRequest ? 1 : 0;
      if (i > 0 && !isRequest && requests.contains(messages.get(i - 1))) {
        answers.add(messages.get(i).answering(messages.get(i - 1).wire()));
      }
    }
    boolean isTurned =
        asking >= FEWEST
            && answers.size() * 100L >= asking * (long) TURNS_PERCENT
            && answers.size() * 100L >= (messages.size() - asking) * (long) TURNS_PERCENT;
    return isTurned ? answers : messages;
  }
}
