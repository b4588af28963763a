package org.cellherd.analysis.cell;

/**
 * How the resistance of a cell follows its temperature: R(T) = R25 exp(Ea/Rg (1/T - 1/298.15)).
 * Activation energies of pulses of 1 to 10 s of LFP lie between 15 and 40 kJ/mol (from memory; open
 * data of a 3 Ah cell give 17), so what is brought to 25 degC is given as bounds.
 */
public final class Arrhenius {
  /** Least activation energy, J/mol. */
  public static final double LEAST = 15_000;

  /** Greatest activation energy, J/mol. */
  public static final double MOST = 40_000;

  private static final double GAS_J_PER_MOL_K = 8.314;
  private static final double ROOM_K = 298.15;

  private Arrhenius() {}

  /** Resistance at a temperature over that at 25 degC. */
  public static double factor(double celsius, double activation) {
    return Math.exp(activation / GAS_J_PER_MOL_K * (1 / (celsius + 273.15) - 1 / ROOM_K));
  }
}
