package org.cellherd.pile;

import java.util.List;
import java.util.Set;

/**
 * What a builder asks of the arrangement.
 *
 * @param series groups in series
 * @param parallel units in each group
 * @param together ids that must share a group
 * @param apart ids of which no two may share a group
 * @param isOneDonorPerGroup true when a group must not mix donors
 */
public record MatchRules(
    int series,
    int parallel,
    List<Set<String>> together,
    List<Set<String>> apart,
    boolean isOneDonorPerGroup) {

  public MatchRules {
    if (series < 1 || parallel < 1) {
      throw new IllegalArgumentException(series + "S" + parallel + "P");
    }
    together = together.stream().map(Set::copyOf).toList();
    apart = apart.stream().map(Set::copyOf).toList();
  }

  /** Nothing but the size. */
  public static MatchRules of(int series, int parallel) {
    return new MatchRules(series, parallel, List.of(), List.of(), false);
  }

  int places() {
    return series * parallel;
  }

  /** True without further wishes. */
  boolean isFree() {
    return together.isEmpty() && apart.isEmpty() && !isOneDonorPerGroup;
  }
}
