package org.cellherd.sim;

/**
 * One cell as an equivalent circuit: rest voltage at the electrodes' surface, small hysteresis,
 * series resistance, two RC pairs, self-discharge. Current in A, positive while charging. Belongs
 * to one thread.
 */
final class Cell {

  /** The branch is reached after about this share of the capacity. */
  private static final double HYSTERESIS_SOC = 0.02;

  private final CellTraits traits;
  private double capacityAh;
  private double extraLeakA;
  private double shortOhm = Double.POSITIVE_INFINITY;

  private double chargeAh;
  private double fastV;
  private double slowV;
  private double lagSoc;
  private double branch;
  private double lastA;

  private double factorC = Double.NaN;
  private double factor = 1;
  private double stepS = Double.NaN;
  private double fastKeep;
  private double slowKeep;
  private double lagKeep;

  /** Asked for by many in one step; not a number until it is known anew. */
  private double sourceV = Double.NaN;

  /** A rested cell at a state of charge, 0 to 1. */
  public Cell(CellTraits traits, double soc) {
    this.traits = traits;
    this.capacityAh = traits.capacityAh();
    this.chargeAh = soc * capacityAh;
  }

  /** Lets a current flow through the terminals for some seconds at a temperature. */
  public void step(double amperes, double seconds, double celsius) {
    warmTo(celsius);
    prepare(seconds);
    sourceV = Double.NaN;
    Impedance z = traits.impedance();
    double inner = amperes - leakA();
    double hours = seconds / 3600;
    chargeAh += inner * hours;
    fastV = fastV * fastKeep + factor * z.fastOhm() * inner * (1 - fastKeep);
    slowV = slowV * slowKeep + factor * z.slowOhm() * inner * (1 - slowKeep);
    double settledLag = factor * z.lagS() * inner / (3600 * capacityAh);
    lagSoc = lagSoc * lagKeep + settledLag * (1 - lagKeep);
    double moved = Math.abs(inner) * hours / (capacityAh * HYSTERESIS_SOC);
    branch += (Math.signum(inner) - branch) * moved / (1 + moved);
    lastA = inner;
  }

  private void warmTo(double celsius) {
    if (!(Math.abs(celsius - factorC) < 0.05)) {
      factorC = celsius;
      factor = traits.impedance().temperatureFactor(celsius);
    }
  }

  private void prepare(double seconds) {
    if (seconds != stepS) {
      stepS = seconds;
      Impedance z = traits.impedance();
      fastKeep = Math.exp(-seconds / z.fastTauS());
      slowKeep = Math.exp(-seconds / z.slowTauS());
      lagKeep = Math.exp(-seconds / z.lagTauS());
    }
  }

  /** Voltage at the terminals were no current flowing at this instant, V. */
  public double sourceV() {
    if (Double.isNaN(sourceV)) {
      sourceV =
          traits.curve().volts(soc() + lagSoc) + traits.hysteresisV() * branch + fastV + slowV;
    }
    return sourceV;
  }

  /** Series resistance at this temperature, ohm. */
  public double seriesOhm() {
    return factor * traits.impedance().ohmic();
  }

  /** Voltage at the terminals with the last step's current, V. */
  public double terminalV() {
    return sourceV() + lastA * seriesOhm();
  }

  /** Voltage long after all current has stopped, without hysteresis, V. */
  public double restV() {
    return traits.curve().volts(soc());
  }

  /** Charge over capacity; below 0 and above 1 are possible. */
  public double soc() {
    return chargeAh / capacityAh;
  }

  /** Charge above empty, Ah. */
  public double chargeAh() {
    return chargeAh;
  }

  /** Charge between empty and full, Ah. */
  public double capacityAh() {
    return capacityAh;
  }

  /** Charge still missing to full, Ah. */
  public double missingAh() {
    return capacityAh - chargeAh;
  }

  /** What the cell loses by itself now, A. */
  public double leakA() {
    return traits.leakA() + extraLeakA + (shortOhm < 1e9 ? restV() / shortOhm : 0);
  }

  /** What this cell is. */
  public CellTraits traits() {
    return traits;
  }

  /** Loses a share of its capacity at the empty end; what is missing to full stays. */
  public void shrink(double share) {
    double lost = capacityAh * share;
    capacityAh -= lost;
    chargeAh -= lost;
    sourceV = Double.NaN;
  }

  /** Leaks so much more from now on, A. */
  public void leakMore(double amperes) {
    extraLeakA = amperes;
  }

  /** Puts a resistor across the cell; {@link Double#POSITIVE_INFINITY} takes it away. */
  public void shortBy(double ohm) {
    shortOhm = ohm;
  }

  /** Heat made inside by the last current, W. */
  public double heatW() {
    return lastA * (terminalV() - restV());
  }
}
