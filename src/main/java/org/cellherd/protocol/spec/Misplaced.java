package org.cellherd.protocol.spec;

import java.util.Arrays;
import java.util.Map;
import java.util.Optional;

/**
 * Notices the answer to another question: on many wires answers do not name what they answer, and
 * one that comes late puts the cells of one message in the place of another's. They are then what
 * that other message told in the reading before: to the digit, or but for noise and for what a load
 * took of all of them alike. Belongs to one thread.
 */
final class Misplaced {

  /** Cells that move less than this change neither a limit nor a lead, 0.1 mV. */
  private static final int ELSEWHERE_TENTH_MV = 100;

  /** Noise of two readings in the last digit of a board that tells mV is 4 mV, 0.1 mV. */
  private static final int ALIKE_TENTH_MV = 40;

  /**
   * So many readings in a row are doubted: cells that trade places for longer may have been taken
   * for another message's at first.
   */
  private static final int MOST_IN_A_ROW = 3;

  private Map<Message, int[]> before = Map.of();
  private int doubted;

  /**
   * The message whose cells are another's, where there is one. Cells of one voltage that moved
   * alike are that once, since a load may have moved them; what goes on showing is true in the end.
   *
   * @param now the cells that each message told, 0.1 mV
   */
  Optional<Message> find(Map<Message, int[]> now) {
    Optional<Message> odd =
        doubted == MOST_IN_A_ROW
            ? Optional.empty()
            : now.entrySet().stream().filter(this::isMisplaced).map(Map.Entry::getKey).findFirst();
    doubted = odd.isPresent() ? doubted + 1 : 0;
    before = odd.isPresent() ? before : now;
    return odd;
  }

  private boolean isMisplaced(Map.Entry<Message, int[]> part) {
    int[] now = part.getValue();
    int[] own = before.getOrDefault(part.getKey(), now);
    if (now.length < 2 || own.length != now.length) {
      return false;
    }
    boolean isElsewhere = isElsewhere(own, now);
    boolean isReshaped = apart(own, now) > ELSEWHERE_TENTH_MV;
    return before.entrySet().stream()
        .filter(e -> !e.getKey().equals(part.getKey()) && e.getValue().length == now.length)
        .anyMatch(
            e ->
                (isElsewhere && doubted == 0 && Arrays.equals(e.getValue(), now))
                    || (isReshaped && apart(e.getValue(), now) <= ALIKE_TENTH_MV));
  }

  /** How differently two cells moved at most, 0.1 mV: what all did alike does not count. */
  private static int apart(int[] then, int[] now) {
    int least = Integer.MAX_VALUE;
    int most = Integer.MIN_VALUE;
    for (int i = 0; i < now.length; i++) {
      least = Math.min(least, now[i] - then[i]);
      most = Math.max(most, now[i] - then[i]);
    }
    return most - least;
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
