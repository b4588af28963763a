package org.cellherd.pile;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Interval;

/**
 * What triage says of one unit.
 *
 * @param unit which
 * @param reasons what was judged, gravest first
 * @param missing what was never measured, such as {@code capacity}
 * @param next the measurement that would settle most, if any
 * @param selfDischargePctPerMonth share of capacity lost in a month beyond its peers, percent; an
 *     upper bound that cannot be known is infinite; empty without two voltages and peers
 */
public record Assessment(
    Unit unit,
    List<Reason> reasons,
    List<String> missing,
    Optional<String> next,
    Optional<Interval> selfDischargePctPerMonth) {

  public Assessment {
    reasons = reasons.stream().sorted((a, b) -> b.verdict().compareTo(a.verdict())).toList();
    missing = List.copyOf(missing);
  }

  /** The gravest of all reasons. */
  public UnitVerdict verdict() {
    return reasons.stream().map(Reason::verdict).reduce(UnitVerdict.USE, UnitVerdict::and);
  }
}
