package org.cellherd.pile;

import java.util.List;
import java.util.OptionalDouble;

/**
 * Units in parallel: one cell of the pack as its board sees it.
 *
 * @param units in the order of building
 */
public record Group(List<Candidate> units) {
  public Group {
    units = List.copyOf(units);
  }

  /** Capacity of all units together, Ah. */
  public double ah() {
    return units.stream().mapToDouble(Candidate::ah).sum();
  }

  /** Resistance of all units in parallel, milliohm; empty where one was not measured. */
  public OptionalDouble mohm() {
    double conductance = 0;
    for (Candidate unit : units) {
      if (unit.mohm().isEmpty()) {
        return OptionalDouble.empty();
      }
      conductance += unit.conductance();
    }
    return OptionalDouble.of(1 / conductance);
  }
}
