package org.cellherd.analysis.capacity;

/**
 * Peukert's exponent from two constant-current tests. For lithium-ion cells it fits only a narrow
 * range of currents near one temperature (Omar et al., Energies 2013, 6, 5625), so it is shown and
 * never used outside the two currents.
 */
final class Peukert {
  private Peukert() {}

  /** The exponent of two capacities at two different currents. */
  static double exponent(double ah1, double amps1, double ah2, double amps2) {
    return 1 + Math.log(ah1 / ah2) / Math.log(amps2 / amps1);
  }

  /**
   * Capacity at a current between those of the tests.
   *
   * @throws IllegalArgumentException outside of them
   */
  static double between(double ah1, double amps1, double ah2, double amps2, double amps) {
    if (amps < Math.min(amps1, amps2) || amps > Math.max(amps1, amps2)) {
      throw new IllegalArgumentException(
          amps + " A lies outside of the tests at " + amps1 + " and " + amps2 + " A");
    }
    return ah1 * Math.pow(amps1 / amps, exponent(ah1, amps1, ah2, amps2) - 1);
  }
}
