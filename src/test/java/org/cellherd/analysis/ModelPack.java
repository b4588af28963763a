package org.cellherd.analysis;

import java.util.function.DoubleUnaryOperator;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;

/**
 * A pack of model cells for tests: open-circuit voltage of the LFP set "Prada2013" of PyBaMM
 * (Afshar et al., arXiv 1709.03970, with the graphite of Chen et al. 2020), an ohmic resistance,
 * and exact counting. Knows the truth that an analysis has to find.
 */
public final class ModelPack {
  private final double[] capacityAh;
  private final double[] charge;
  private final double[] ohms;
  private final double[] leakAmps;
  private final double[] pairVolts;
  private final double[] ahead;
  private double aheadHours;
  private double aheadTauS = 1;
  private double pairShare;
  private double pairTauS = 1;
  private long timeMs;
  private double tempC = 25;
  private DoubleUnaryOperator curve = ModelPack::ocv;

  /** Equal cells, half full. */
  public ModelPack(PackPlan plan, long startMs, double startSoc) {
    int n = plan.series();
    capacityAh = new double[n];
    charge = new double[n];
    ohms = new double[n];
    leakAmps = new double[n];
    pairVolts = new double[n];
    ahead = new double[n];
    timeMs = startMs;
    for (int i = 0; i < n; i++) {
      capacityAh[i] = plan.ratedAh();
      charge[i] = startSoc * capacityAh[i];
      ohms[i] = 0.05 / plan.ratedAh();
    }
  }

  /** Sets a cell's capacity and how full it is. */
  public ModelPack cell(int cell, double ah, double soc) {
    capacityAh[cell - 1] = ah;
    charge[cell - 1] = soc * ah;
    return this;
  }

  /** Gives the cells another open-circuit curve: volts at a state of charge of 0 to 1. */
  public ModelPack curve(DoubleUnaryOperator volts) {
    curve = volts;
    return this;
  }

  /** Sets a cell's resistance. */
  public ModelPack ohms(int cell, double value) {
    ohms[cell - 1] = value;
    return this;
  }

  /** Gives every cell a slower part of its resistance: a share of the ohmic one, and its time. */
  public ModelPack pair(double shareOfOhms, double tauS) {
    pairShare = shareOfOhms;
    pairTauS = tauS;
    return this;
  }

  /**
   * Lets the surface of the cells, which shows, run ahead of their bulk: in the end by what flows
   * in some hours, within some time.
   */
  public ModelPack surface(double hours, double tauS) {
    aheadHours = hours;
    aheadTauS = tauS;
    return this;
  }

  /** Resistance of a cell so long after a step, ohm. */
  public double ohmsAfter(int cell, double seconds) {
    return ohms[cell - 1] * (1 + pairShare * (1 - Math.exp(-seconds / pairTauS)));
  }

  /** Sets the current that a cell loses by itself. */
  public ModelPack leak(int cell, double milliamps) {
    leakAmps[cell - 1] = milliamps / 1000;
    return this;
  }

  /** Sets the temperature. */
  public ModelPack temperature(double celsius) {
    tempC = celsius;
    return this;
  }

  /** Time of the latest reading. */
  public long timeMs() {
    return timeMs;
  }

  /** Nothing is heard, and this current flows, for a while. */
  public ModelPack skip(long ms, double amps) {
    timeMs += ms;
    double kept = Math.exp(-ms / 1000.0 / pairTauS);
    double behind = Math.exp(-ms / 1000.0 / aheadTauS);
    for (int i = 0; i < charge.length; i++) {
      ahead[i] = ahead[i] * behind + amps * aheadHours / capacityAh[i] * (1 - behind);
      pairVolts[i] = pairVolts[i] * kept + amps * pairShare * ohms[i] * (1 - kept);
      charge[i] =
          Math.max(
              0, Math.min(capacityAh[i] * 1.02, charge[i] + (amps - leakAmps[i]) * ms / 3.6e6));
    }
    return this;
  }

  /** A current, positive charging, for a while; then a reading under it. */
  public Reading step(long ms, double amps) {
    skip(ms, amps);
    return read(amps);
  }

  /** A charger of at most this current and this pack voltage for a while. */
  public Reading charge(long ms, double mostAmps, double packVolts) {
    double ocv = 0;
    double r = 0;
    for (int i = 0; i < charge.length; i++) {
      ocv += curve.applyAsDouble(charge[i] / capacityAh[i]);
      r += ohms[i];
    }
    return step(ms, Math.max(0, Math.min(mostAmps, (packVolts - ocv) / r)));
  }

  /** The reading now under this current. */
  public Reading read(double amps) {
    int[] tenthMv = new int[charge.length];
    int sum = 0;
    for (int i = 0; i < charge.length; i++) {
      double shown = charge[i] / capacityAh[i] + ahead[i];
      double volts = curve.applyAsDouble(shown) + amps * ohms[i] + pairVolts[i];
      tenthMv[i] = (int) Math.round(volts * 10_000);
      sum += tenthMv[i] / 10;
    }
    return Reading.at(timeMs)
        .cells(CellVoltages.ofTenthMv(tenthMv))
        .currentMa((int) Math.round(amps * 1000))
        .packMv(sum)
        .temperatures(Temperatures.ofTenthC((int) Math.round(tempC * 10)))
        .build();
  }

  /** How full a cell is, 0 to 1. */
  public double soc(int cell) {
    return charge[cell - 1] / capacityAh[cell - 1];
  }

  /** Open-circuit voltage at a state of charge of 0 to 1; beyond, the ends are steep. */
  public static double ocv(double z) {
    double s = 0.0038 + (1 - z) * 2.3 / 3.29186;
    double up = 3.4077 - 0.020269 * s + 0.5 * Math.exp(-150 * s) - 0.9 * Math.exp(-30 * (1 - s));
    double n = 0.81 - (1 - z) * 2.3 / 2.90684;
    double un =
        1.9793 * Math.exp(-39.3631 * n)
            + 0.2482
            - 0.0909 * Math.tanh(29.8538 * (n - 0.1234))
            - 0.04478 * Math.tanh(14.9159 * (n - 0.2769))
            - 0.0205 * Math.tanh(30.4444 * (n - 0.6103));
    return up - un;
  }
}
