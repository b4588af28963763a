package org.cellherd.pile;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;

/** Which units must share a group and which must not, by their numbers. */
final class Wishes {
  private final int[] blockOf;
  private final List<int[]> blocks = new ArrayList<>();
  private final boolean[][] apart;

  Wishes(List<Matching.Candidate> units, Matching.Rules rules) {
    int n = units.size();
    blockOf = new int[n];
    apart = rules.apart().isEmpty() ? new boolean[0][0] : new boolean[n][n];
    for (int u = 0; u < n; u++) {
      blockOf[u] = -1;
    }
    for (Set<String> ids : rules.together()) {
      int[] block = numbers(units, ids);
      for (int u : block) {
        blockOf[u] = blocks.size();
      }
      blocks.add(block);
    }
    for (Set<String> ids : rules.apart()) {
      int[] some = numbers(units, ids);
      for (int u : some) {
        for (int v : some) {
          apart[u][v] = u != v;
        }
      }
    }
  }

  private static int[] numbers(List<Matching.Candidate> units, Set<String> ids) {
    int[] found = new int[ids.size()];
    int count = 0;
    for (int u = 0; u < units.size(); u++) {
      if (ids.contains(units.get(u).id())) {
        found[count++] = u;
      }
    }
    return Arrays.copyOf(found, count);
  }

  /** Sets of units that move only together. */
  List<int[]> blocks() {
    return blocks;
  }

  /** True for a unit that moves only with others. */
  boolean isBound(int unit) {
    return blockOf[unit] >= 0;
  }

  /** True when a unit may stand in a group, one of whose members leaves it. */
  boolean fits(int unit, int[] members, int count, int leaving) {
    if (apart.length == 0) {
      return true;
    }
    for (int i = 0; i < count; i++) {
      if (members[i] != leaving && apart[unit][members[i]]) {
        return false;
      }
    }
    return true;
  }
}
