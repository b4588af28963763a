package org.cellherd.pile;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.pack.Chemistry;

/**
 * How long the first top balance will take at the board's bleed current: the groups' charge by
 * their rest voltages and capacities. On a plateau the voltage leaves the charge open by tens of
 * percent, so the interval is wide and meant so; charging the units in parallel to the top before
 * they are joined in series leaves little to balance.
 */
public final class FirstBalance {

  /** Error of a meter and of a rest that was too short, V. */
  private static final double ERROR_V = 0.005;

  private FirstBalance() {}

  /**
   * Hours that the strongest charged group bleeds; empty where a rest voltage or the chemistry is
   * missing.
   *
   * @param bleedA mean bleed current of a cell, A
   */
  public static Optional<Interval> hours(Matching matching, Pool pool, double bleedA) {
    double leastLow = Double.POSITIVE_INFINITY;
    double leastHigh = Double.POSITIVE_INFINITY;
    double mostLow = 0;
    double mostHigh = 0;
    for (Matching.Group group : matching.groups()) {
      Optional<Interval> missing = missingAh(group, pool);
      if (missing.isEmpty()) {
        return Optional.empty();
      }
      leastLow = Math.min(leastLow, missing.get().low());
      leastHigh = Math.min(leastHigh, missing.get().high());
      mostLow = Math.max(mostLow, missing.get().low());
      mostHigh = Math.max(mostHigh, missing.get().high());
    }
    double low = Math.max(0, mostLow - leastHigh);
    double high = mostHigh - leastLow;
    return Optional.of(new Interval(low / bleedA, (low + high) / 2 / bleedA, high / bleedA));
  }

  /** Ah that a group is short of full. */
  private static Optional<Interval> missingAh(Matching.Group group, Pool pool) {
    double low = 0;
    double high = 0;
    for (Matching.Candidate candidate : group.units()) {
      Unit unit = pool.unit(candidate.id());
      OptionalDouble mv = unit.restMvPerCell();
      Optional<Chemistry> chemistry = unit.chemistry();
      if (mv.isEmpty() || chemistry.isEmpty()) {
        return Optional.empty();
      }
      Interval pct =
          CellCurve.of(chemistry.get()).pct(mv.getAsDouble() / 1000, error(chemistry.get()));
      low += candidate.ah() * (1 - pct.high() / 100);
      high += candidate.ah() * (1 - pct.low() / 100);
    }
    return Optional.of(new Interval(low, (low + high) / 2, high));
  }

  private static double error(Chemistry chemistry) {
    return ERROR_V + CellCurve.of(chemistry).hysteresisV() / 2;
  }
}
