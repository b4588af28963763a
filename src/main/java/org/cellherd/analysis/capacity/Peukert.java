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
}
