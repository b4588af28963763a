package org.cellherd.analysis.flow;

import org.cellherd.analysis.moment.Amounts;
import org.cellherd.analysis.moment.Flow;
import org.cellherd.analysis.state.State;

/** Sums of {@link Amounts}, exact over any time. Belongs to one thread. */
public final class Tally {
  private long charged;
  private long discharged;
  private final EnergySum chargedEnergy = new EnergySum();
  private final EnergySum dischargedEnergy = new EnergySum();
  private long durationMs;
  private double samplingSquared;

  public void add(Amounts step) {
    charged += step.charged();
    discharged += step.discharged();
    chargedEnergy.add(step.chargedEnergy());
    dischargedEnergy.add(step.dischargedEnergy());
    durationMs += step.durationMs();
    samplingSquared += step.samplingSquared();
  }

  /** Charge put in, Ah. */
  public double chargedAh() {
    return ah(charged);
  }

  /** Charge taken out, Ah. */
  public double dischargedAh() {
    return ah(discharged);
  }

  /** Charge put in less charge taken out, Ah. */
  public double netAh() {
    return ah(charged - discharged);
  }

  /** Energy put in, Wh. */
  public double chargedWh() {
    return chargedEnergy.wattHours();
  }

  /** Energy taken out, Wh. */
  public double dischargedWh() {
    return dischargedEnergy.wattHours();
  }

  /** Time over which something was counted, ms. */
  public long durationMs() {
    return durationMs;
  }

  /**
   * How far the net charge may be off because the current changed between readings, Ah: two
   * standard deviations of all steps.
   */
  public double samplingAh() {
    return 2 * Math.sqrt(samplingSquared);
  }

  public void clear() {
    charged = 0;
    discharged = 0;
    chargedEnergy.clear();
    dischargedEnergy.clear();
    durationMs = 0;
    samplingSquared = 0;
  }

  private static double ah(long halves) {
    return halves / (Flow.CHARGE_PER_MAH * 1000.0);
  }

  public void state(State io) {
    charged = io.number(charged);
    discharged = io.number(discharged);
    durationMs = io.number(durationMs);
    samplingSquared = io.number(samplingSquared);
    chargedEnergy.state(io);
    dischargedEnergy.state(io);
  }
}
