package org.cellherd.sim;

import java.util.List;

/**
 * A fault as it happens in one run: what a test or benchmark compares findings with.
 *
 * @param kind which
 * @param pack index of the pack, from 0
 * @param number of the cell, strap, tap or sensor; 0 where it has none
 * @param amounts numbers in the order of {@link FaultKind#amounts}
 * @param fromMs begins, ms UTC
 * @param toMs is over, ms UTC; {@link Long#MAX_VALUE} never
 */
public record Fault(
    FaultKind kind, int pack, int number, List<Double> amounts, long fromMs, long toMs) {

  public Fault {
    amounts = List.copyOf(amounts);
    if (amounts.size() != kind.amounts().size()) {
      throw new IllegalArgumentException(
          kind.word() + " has " + kind.amounts().size() + " amounts");
    }
  }

  /** The first number, 0 where there is none. */
  public double amount() {
    return amounts.isEmpty() ? 0 : amounts.get(0);
  }

  /** True from its beginning until before its end. */
  public boolean covers(long timeMs) {
    return timeMs >= fromMs && timeMs < toMs;
  }
}
