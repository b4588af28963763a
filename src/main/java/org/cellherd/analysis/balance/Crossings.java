package org.cellherd.analysis.balance;

import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.state.State;
import org.jspecify.annotations.Nullable;

/** The first crossing of each level by each cell within one charge. */
final class Crossings {
  private final int[] levels;
  private final @Nullable Crossing[] first;

  Crossings(int cells, List<Integer> levelsMv) {
    this.levels = levelsMv.stream().mapToInt(Integer::intValue).toArray();
    this.first = new Crossing[cells * levels.length];
  }

  int levels() {
    return levels.length;
  }

  int levelMv(int level) {
    return levels[level];
  }

  int lowestMv() {
    return levels[0];
  }

  void clear() {
    Arrays.fill(first, null);
  }

  /** The crossing of a level by a cell, both by index from 0; null when there was none. */
  @Nullable Crossing get(int cell, int level) {
    return first[cell * levels.length + level];
  }

  /**
   * Keeps a crossing unless a better one is known: a settled one is never replaced.
   *
   * @return true when it was kept
   */
  boolean note(int cell, int level, Crossing crossing) {
    Crossing known = get(cell, level);
    boolean isBetter = known == null || (!known.isSettled() && crossing.isSettled());
    if (isBetter) {
      first[cell * levels.length + level] = crossing;
    }
    return isBetter;
  }

  void state(State io) {
    for (int i = 0; i < first.length; i++) {
      first[i] = io.orNull(first[i], Crossing.NONE, Crossing::state);
    }
  }
}
