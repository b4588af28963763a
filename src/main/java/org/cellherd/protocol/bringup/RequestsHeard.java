package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Tells requests from answers where both were heard on one wire: a request is said again and again
 * in the same bytes all over the capture, and what follows it differs; the two take turns.
 */
final class RequestsHeard {

  private static final int FEWEST = 3;

  /** Requests or answers that noise broke leave two of a kind in a row. */
  private static final int TURNS_PERCENT = 70;

  /** Parts of a capture in each of which a request is said. */
  private static final int MOST_PARTS = 8;

  private final List<Sample> messages;
  private final Set<Sample> requests = new HashSet<>();

  RequestsHeard(List<Sample> messages) {
    this.messages = messages;
    Map<Sample, Set<Sample>> followers = new HashMap<>();
    Map<Sample, List<Integer>> places = new HashMap<>();
    for (int i = 0; i + 1 < messages.size(); i++) {
      places.computeIfAbsent(messages.get(i), k -> new ArrayList<>()).add(i);
      Set<Sample> seen = followers.computeIfAbsent(messages.get(i), k -> new HashSet<>());
      if (seen.size() < FEWEST) {
        seen.add(messages.get(i + 1));
      }
    }
    places.values().removeIf(own -> !isSaidThroughout(own));
    places.keySet().stream()
        .filter(m -> followers.getOrDefault(m, Set.of()).size() >= FEWEST)
        .forEach(requests::add);
    requests.addAll(places.keySet().stream().filter(this::isInTurn).toList());
  }

  /**
   * Nobody asks a question less because the pack rests, and noise breaks one in seven at most; data
   * that happen to be the same, as coarse ones at rest, come and go. True when no part of the
   * capture has less than half of its share, and there are two for each part.
   */
  private boolean isSaidThroughout(List<Integer> places) {
    int parts = Math.min(MOST_PARTS, places.size() / 2);
    int[] counts = new int[Math.max(1, parts)];
    places.forEach(at -> counts[(int) ((long) counts.length * at / messages.size())]++);
    int least = places.size() / counts.length / 2;
    return places.size() >= FEWEST && Arrays.stream(counts).allMatch(n -> n >= least);
  }

  /**
   * A request whose answer is always the same, such as the number of cells, is told by its turn: it
   * follows an answer, and no request follows it.
   */
  private boolean isInTurn(Sample message) {
    int seen = 0;
    int inTurn = 0;
    for (int i = 2; i + 1 < messages.size(); i++) {
      if (messages.get(i).equals(message)) {
        boolean isBehindAnswer =
            requests.contains(messages.get(i - 2)) && !requests.contains(messages.get(i - 1));
        seen++;
        inTurn += isBehindAnswer && !requests.contains(messages.get(i + 1)) ? 1 : 0;
      }
    }
    return !requests.contains(message)
        && inTurn >= FEWEST
        && inTurn * 100L >= seen * (long) TURNS_PERCENT;
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
    return isTurned ? answers : withoutStrangers();
  }

  /**
   * A question without a check value passes a weak one by chance. It stands alone then, but begins
   * otherwise than all that varies.
   */
  private List<Sample> withoutStrangers() {
    List<Sample> others = messages.stream().filter(m -> !requests.contains(m)).toList();
    int[] counts = new int[1 << Byte.SIZE];
    others.forEach(m -> counts[m.at(0)]++);
    boolean hasUsual = Arrays.stream(counts).anyMatch(n -> Stretch.nearlyAll(n, others.size()));
    return hasUsual
        ? messages.stream()
            .filter(m -> !requests.contains(m) || Stretch.nearlyAll(counts[m.at(0)], others.size()))
            .toList()
        : messages;
  }
}
