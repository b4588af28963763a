package org.cellherd.protocol.spec;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;

/**
 * Notices the answer to another question: on many wires answers do not name what they answer, and
 * one that comes late puts the cells of one message in the place of another's. They are then, to
 * the digit, what that other message told in the reading before. Belongs to one thread.
 */
final class Misplaced {

  /** Cells that move less than this change neither a limit nor a lead, 0.1 mV. */
  private static final int ELSEWHERE_TENTH_MV = 100;

  private Map<Message, int[]> before = Map.of();
  private boolean isDoubting;

  /**
   * The message whose cells are another's, where there is one. What the next reading still shows is
   * true.
   *
   * @param now the cells that each message told, 0.1 mV
   */
  Optional<Message> find(Map<Message, int[]> now) {
    Optional<Message> odd =
        isDoubting
            ? Optional.empty()
            : now.entrySet().stream().filter(this::isMisplaced).map(Map.Entry::getKey).findFirst();
    isDoubting = odd.isPresent();
    before = odd.isPresent() ? before : now;
    return odd;
  }

  private boolean isMisplaced(Map.Entry<Message, int[]> part) {
    int[] now = part.getValue();
    int[] own = before.getOrDefault(part.getKey(), now);
    if (now.length < 2 || own.length != now.length || !isElsewhere(own, now)) {
      return false;
    }
    return before.entrySet().stream()
        .anyMatch(e -> !e.getKey().equals(part.getKey()) && Arrays.equals(e.getValue(), now));
  }

  private static boolean isElsewhere(int[] own, int[] now) {
    for (int i = 0; i < now.length; i++) {
      if (Math.abs(own[i] - now[i]) > ELSEWHERE_TENTH_MV) {
        return true;
      }
    }
    return false;
  }
}
