package org.cellherd.pile;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/**
 * How units in parallel share a current. In the middle of a charge their voltages are alike and the
 * current follows the conductances; near empty the unit that ends first drops out and the others
 * carry its share (common practice, no source; the circuit law behind it is Ohm's).
 *
 * @param unit which
 * @param middleA in the middle of the charge, A
 * @param nearEmptyA when another unit of the group has dropped out, at most, A
 */
public record CurrentShare(Matching.Candidate unit, double middleA, double nearEmptyA) {

  /** The shares in a group that carries a current; empty where a resistance is not known. */
  public static List<CurrentShare> of(Matching.Group group, double amperes) {
    if (group.mohm().isEmpty()) {
      return List.of();
    }
    double all = group.units().stream().mapToDouble(Matching.Candidate::conductance).sum();
    List<CurrentShare> shares = new ArrayList<>();
    for (Matching.Candidate unit : group.units()) {
      double most =
          group.units().stream()
              .filter(u -> !u.id().equals(unit.id()))
              .mapToDouble(Matching.Candidate::conductance)
              .max()
              .orElse(0);
      double own = unit.conductance();
      shares.add(new CurrentShare(unit, amperes * own / all, amperes * own / (all - most)));
    }
    return shares;
  }

  /**
   * How near the voltages of units must be before they are joined, mV: one unit against all others
   * at once passes no more than the current. Empty where a resistance is not known.
   */
  public static OptionalDouble nearEnoughMv(Matching.Group group, double amperes) {
    if (group.mohm().isEmpty() || group.units().size() < 2) {
      return OptionalDouble.empty();
    }
    double all = group.units().stream().mapToDouble(Matching.Candidate::conductance).sum();
    double least = Double.POSITIVE_INFINITY;
    for (Matching.Candidate unit : group.units()) {
      double loop = 1 / unit.conductance() + 1 / (all - unit.conductance());
      least = Math.min(least, amperes * loop);
    }
    return OptionalDouble.of(least);
  }
}
