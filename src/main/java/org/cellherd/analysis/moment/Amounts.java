package org.cellherd.analysis.moment;

/**
 * What flowed over one step, both directions apart: charge in halves of a mA ms, energy in halves
 * of a microwatt ms. None is negative, save by rounding in {@link #without}. The step knows by how
 * much its charge may be off because nobody looked in between.
 */
public final class Amounts {
  private long charged;
  private long discharged;
  private long chargedEnergy;
  private long dischargedEnergy;
  private long durationMs;
  private double samplingSquared;

  /** Trapezoids between two ends of a step; split where the current changes sign. */
  public void between(long current0, long power0, long current1, long power1, long stepMs) {
    durationMs = stepMs;
    long net = (current0 + current1) * stepMs;
    long netEnergy = (power0 + power1) * stepMs;
    if (current0 >= 0 && current1 >= 0) {
      set(net, 0, netEnergy, 0);
    } else if (current0 <= 0 && current1 <= 0) {
      set(0, -net, 0, -netEnergy);
    } else {
      split(current0, power0, current1, power1, net, netEnergy);
    }
  }

  /**
   * The current changed by so much over the step, as if it had been there for all of it, and by so
   * much over the step before, Ah. Where in a step a current changes nobody knows: anywhere alike.
   * One that was other in a single reading was so for longer or shorter, and as often between two
   * readings, unseen: the number that was seen is off by its root.
   */
  void changed(double ah, double beforeAh) {
    double alone = ah * beforeAh < 0 ? Math.min(Math.abs(ah), Math.abs(beforeAh)) : 0;
    samplingSquared = ah * ah / 12 + alone * alone;
  }

  private void split(
      long current0, long power0, long current1, long power1, long net, long netEnergy) {
    double first = durationMs * (double) Math.abs(current0) / Math.abs(current1 - current0);
    double in = current0 > 0 ? current0 * first : current1 * (durationMs - first);
    double inEnergy = current0 > 0 ? power0 * first : power1 * (durationMs - first);
    long whole = Math.max(0, Math.max(Math.round(in), net));
    long wholeEnergy = Math.max(0, Math.max(Math.round(inEnergy), netEnergy));
    set(whole, whole - net, wholeEnergy, wholeEnergy - netEnergy);
  }

  private void set(long in, long out, long inEnergy, long outEnergy) {
    charged = in;
    discharged = out;
    chargedEnergy = inEnergy;
    dischargedEnergy = outEnergy;
  }

  /** What is left of the step without a part of it: both make up the whole exactly. */
  public Amounts without(Amounts part) {
    Amounts rest = new Amounts();
    rest.charged = charged - part.charged;
    rest.discharged = discharged - part.discharged;
    rest.chargedEnergy = chargedEnergy - part.chargedEnergy;
    rest.dischargedEnergy = dischargedEnergy - part.dischargedEnergy;
    rest.durationMs = durationMs - part.durationMs;
    rest.samplingSquared = samplingSquared - part.samplingSquared;
    return rest;
  }

  /** Charge put in, halves of a mA ms. */
  public long charged() {
    return charged;
  }

  /** Charge taken out, halves of a mA ms. */
  public long discharged() {
    return discharged;
  }

  /** Charge put in less what was taken out, halves of a mA ms. */
  public long net() {
    return charged - discharged;
  }

  /** Energy put in, halves of a microwatt ms. */
  public long chargedEnergy() {
    return chargedEnergy;
  }

  /** Energy taken out, halves of a microwatt ms. */
  public long dischargedEnergy() {
    return dischargedEnergy;
  }

  /** Takes over a share of what the whole step's charge may be off by. */
  void samplingOf(Amounts whole, double share) {
    samplingSquared = whole.samplingSquared * share;
  }

  /** Square of one standard deviation by which the net charge is off, Ah squared. */
  public double samplingSquared() {
    return samplingSquared;
  }

  /** Length of the step, ms. */
  public long durationMs() {
    return durationMs;
  }
}
