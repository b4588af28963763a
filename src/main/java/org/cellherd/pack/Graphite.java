package org.cellherd.pack;

/** The electrode that iron phosphate and layered oxides share. */
final class Graphite {
  private Graphite() {}

  /** Of Chen et al., J. Electrochem. Soc. 167 (2020) 080534, as the set Prada2013 has it; V. */
  static double volts(double s) {
    return 1.9793 * Math.exp(-39.3631 * s)
        + 0.2482
        - 0.0909 * Math.tanh(29.8538 * (s - 0.1234))
        - 0.04478 * Math.tanh(14.9159 * (s - 0.2769))
        - 0.0205 * Math.tanh(30.4444 * (s - 0.6103));
  }
}
