package org.cellherd.analysis.balance;

import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;
import org.jspecify.annotations.Nullable;

/** The first crossing of each level by each cell within one charge. */
final class Crossings {
  private final int[] levels;
  private final int cells;
  private final @Nullable Crossing[] first;

  Crossings(int cells, List<Integer> levelsMv) {
    this.cells = cells;
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

  /**
   * The lowest level that any cell has crossed: under much current the lower ones lie on the
   * plateau and are not taken. The highest level of all while none was crossed.
   */
  int lowestCrossedMv() {
    for (int level = 0; level < levels.length; level++) {
      for (int cell = 0; cell < cells; cell++) {
        if (get(cell, level) != null) {
          return levels[level];
        }
      }
    }
    return levels[levels.length - 1];
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

  boolean hasAny(int cell) {
    for (int level = 0; level < levels.length; level++) {
      if (get(cell, level) != null) {
        return true;
      }
    }
    return false;
  }

  /** True when no cell has crossed anything. */
  boolean isEmpty() {
    for (int cell = 0; cell < cells; cell++) {
      if (hasAny(cell)) {
        return false;
      }
    }
    return true;
  }

  void save(StateWriter out) {
    out.putLong(first.length);
    for (Crossing crossing : first) {
      out.putBoolean(crossing != null);
      if (crossing != null) {
        crossing.save(out);
      }
    }
  }

  void restore(StateReader in) {
    if (in.getLong() != first.length) {
      throw new StateMismatch("crossings of another pack or other levels");
    }
    for (int i = 0; i < first.length; i++) {
      first[i] = in.getBoolean() ? Crossing.restore(in) : null;
    }
  }
}
