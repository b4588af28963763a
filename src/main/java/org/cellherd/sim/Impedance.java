package org.cellherd.sim;

/**
 * What stands between a cell's rest voltage and its terminals, at 25 degC.
 *
 * @param ohmic series resistance, ohm
 * @param fastOhm resistance of the quick pair, ohm
 * @param fastTauS its time constant, s
 * @param slowOhm resistance of the slow pair, ohm
 * @param slowTauS its time constant, s
 * @param lagS the surface of the electrodes is ahead of their bulk by this many seconds of the
 *     present current: what relaxes for long in the knees and hardly shows in the plateau
 * @param lagTauS time constant of that, s
 * @param activationJ activation energy of all of these, J/mol
 */
public record Impedance(
    double ohmic,
    double fastOhm,
    double fastTauS,
    double slowOhm,
    double slowTauS,
    double lagS,
    double lagTauS,
    double activationJ) {

  /** Ohm times Ah of common large iron-phosphate cells after 10 s, from memory. */
  private static final double OHM_AH = 0.05;

  /** Refuses what no cell has. */
  public Impedance {
    if (!(ohmic > 0 && fastOhm >= 0 && slowOhm >= 0 && lagS >= 0)
        || !(fastTauS > 0 && slowTauS > 0 && lagTauS > 0)) {
      throw new IllegalArgumentException("resistances must not be negative, times above 0 s");
    }
  }

  /** A usual cell of some Ah whose ohmic and quick part together have some ohm. */
  public static Impedance usual(double tenSecondOhm) {
    return new Impedance(
        0.7 * tenSecondOhm, 0.3 * tenSecondOhm, 4, 0.5 * tenSecondOhm, 1800, 180, 600, 25_000);
  }

  /** Resistance after 10 s that a cell of some Ah usually has, ohm. */
  public static double usualOhm(double capacityAh) {
    return OHM_AH / capacityAh;
  }

  /** The same with another lag of the electrode surface. */
  public Impedance withLagS(double seconds) {
    return new Impedance(
        ohmic, fastOhm, fastTauS, slowOhm, slowTauS, seconds, lagTauS, activationJ);
  }

  /** Voltage over current some seconds after a step, ohm, without the lag of the surface. */
  public double ohmAfter(double seconds) {
    return ohmic
        + fastOhm * (1 - Math.exp(-seconds / fastTauS))
        + slowOhm * (1 - Math.exp(-seconds / slowTauS));
  }

  /** Factor on all resistances at a temperature, Arrhenius, 1 at 25 degC. */
  public double temperatureFactor(double celsius) {
    return Math.exp(activationJ / 8.314 * (1 / (celsius + 273.15) - 1 / 298.15));
  }
}
