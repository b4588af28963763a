package org.cellherd.analysis.discharge;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.analysis.Interval;

/**
 * The tests of one pack.
 *
 * @param name as people call it
 * @param isDonor true for a pack that was taken apart
 * @param tests oldest first, at least one
 * @param life what it may still give; empty where its use is not known
 * @param price what its parts cost
 */
public record ComparedPack(
    String name,
    boolean isDonor,
    List<TestedDischarge> tests,
    Optional<LifeEnergy> life,
    OptionalDouble price) {
  public ComparedPack {
    tests = List.copyOf(tests);
    if (tests.isEmpty()) {
      throw new IllegalArgumentException(name + " without a test");
    }
  }

  public TestedDischarge newest() {
    return tests.get(tests.size() - 1);
  }

  /** The drop between the newest test and the newest at another rate. */
  public Optional<RateDrop> drop() {
    for (int i = tests.size() - 2; i >= 0; i--) {
      if (tests.get(i).isAtAnotherRate(newest())) {
        return Optional.of(RateDrop.between(tests.get(i), newest()));
      }
    }
    return Optional.empty();
  }

  /** Price of what a usable Wh costs. */
  public Optional<Interval> pricePerWh() {
    return price.isPresent() ? per(price.getAsDouble(), newest().whInterval()) : Optional.empty();
  }

  /** Price of what a kWh of the life that is left costs. */
  public Optional<Interval> pricePerLifeKwh() {
    return price.isPresent()
        ? life.flatMap(l -> per(price.getAsDouble(), l.kwh()))
        : Optional.empty();
  }

  private static Optional<Interval> per(double price, Interval of) {
    return of.low() > 0
        ? Optional.of(new Interval(price / of.high(), price / of.mid(), price / of.low()))
        : Optional.empty();
  }
}
