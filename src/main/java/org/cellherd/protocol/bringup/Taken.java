package org.cellherd.protocol.bringup;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** The columns of one kind of message that are already explained. One thread. */
final class Taken {
  private final List<ColumnGuess> guesses = new ArrayList<>();

  void add(ColumnGuess guess) {
    guesses.add(guess);
  }

  boolean isFree(int from, int to) {
    return guesses.stream().noneMatch(g -> g.overlaps(from, to));
  }

  /** In the order of the message. */
  List<ColumnGuess> inOrder() {
    return guesses.stream().sorted(Comparator.comparingInt(ColumnGuess::at)).toList();
  }
}
