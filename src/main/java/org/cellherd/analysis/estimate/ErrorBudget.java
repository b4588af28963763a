package org.cellherd.analysis.estimate;

import org.cellherd.analysis.cell.Arrhenius;
import org.cellherd.pack.PackPlan;

/**
 * The error budget, one standard deviation each, and where each figure comes from. Whoever doubts a
 * lead begins here.
 */
final class ErrorBudget {
  /** A board's inputs and their wires (3 mV at most is common practice, no source), V. */
  static final double OFFSET_V = 0.0025;

  /** How that walks with time, V a root of an hour, and with the voltage, V a root of 10 mV. */
  static final double OFFSET_WALK = 0.0006;

  static final double OFFSET_MOVED = 0.0004;

  /** By which the resistance of cells grows in the cold, of all their parts alike, J/mol. */
  static final double ACTIVATION = Math.sqrt(Arrhenius.LEAST * Arrhenius.MOST);

  /** Shared resistance of a usual cell at once and at 25 degC, times its Ah (from memory). */
  static final double OHM_AH = 0.04;

  /** Logarithm of each shared resistance. */
  static final double LOG_R = 0.6;

  /** What one cell's resistance differs by, a share of the shared one with its lags. */
  static final double OWN_R = 2.5;

  /** A strap or crimp, ohm (common practice, no source). */
  static final double STRAP_OHM = 0.0008;

  /** Capacity of a cell against the usual one of its pack. */
  static final double SCALE = 0.045;

  /** Boards bleed 30 to 200 mA, or not at all (common practice, no source). */
  private static final Bleed UNTOLD = new Bleed(0.06, 0.05);

  /** One that says which cell it bleeds does so. */
  private static final Bleed TOLD = new Bleed(0.115, 0.0425);

  static final double BLEED_WALK_A = 0.02;

  /** A cell that leaks unseen takes tens of mA (common practice, no source), over six hours. */
  static final double LEAK_A = 0.02;

  static final double LEAK_H = 6;

  /** Hysteresis and warmth move all cells alike (2 to 20 mV in all, from memory), V. */
  static final double COMMON_V = 0.002;

  /** The curve is not quite one, V. */
  static final double CURVE_V = 0.001;

  /** What a cell's voltage falls by at rest without losing charge comes within so long (memory). */
  static final double RELAXED_H = 24;

  /** On its plateau a voltage tells little of charge: taps, hysteresis and warmth are more, V. */
  static final double PLATEAU_V = 0.02;

  /** Hours of current by which a cell's surface runs ahead of its bulk (from memory). */
  static final double SURFACE_H = 0.02;

  static final double SURFACE_WALK = 0.005;

  /** Lags are not those that are modelled: a share of what they have yet to give. */
  static final double LAG = 0.2;

  static final double OWN_LAG = 0.1;

  /** Cells differ in what a current adds, a share. */
  static final double OWN_DROP = 0.08;

  /** Where cells stand at first, shares of the rated charge: each, and all together. */
  static final double START_OWN = 0.10;

  static final double START_ALL = 0.30;

  /** A surprise beyond so many standard deviations counts as one of that size. */
  static final double HUBER = 8;

  /**
   * Usual mean square of the surprises: the terms are stated for the worst of boards. By as much as
   * a fit is worse its variances grow (Birge 1932, from memory).
   */
  static final double USUAL_CHI = 0.2;

  /** A fit whose surprises are greater than they should be in the mean square is not believed. */
  static final double MOST_CHI = 1;

  /**
   * What surfaces took and gave back while a current behind a lag of minutes rose by so much in all
   * and fell again, Ah: the filter has no such lag and takes it for charge. It is as large as those
   * that it has: what runs ahead of a sphere's mean is R2 / 15 D, 0.02 h for 5 micrometres and
   * 2e-10 cm2/s (from memory).
   */
  static double swings(double risenA) {
    return 2 * SURFACE_H * risenA;
  }

  /** What a cell may have leaked unseen within some hours, Ah squared. */
  static double leaked(double hours) {
    return leakedSteadily(hours) + leakedByChance(hours);
  }

  /** Of leaks that come and go. */
  static double leakedByChance(double hours) {
    return 2 * LEAK_A * LEAK_A * LEAK_H * hours;
  }

  /** Of a leak that stays: the same all the hours, not each time anew. */
  static double leakedSteadily(double hours) {
    double ah = LEAK_A * hours;
    return ah * ah;
  }

  /** What one cell's bleeding differs by from the mean of all, squared, by the hours it bled. */
  static double bleedWalk(double hours) {
    return 2 * BLEED_WALK_A * BLEED_WALK_A * hours;
  }

  /** Mean current of a cell that bleeds and its error, A. */
  record Bleed(double amperes, double error) {}

  /**
   * What is known of it beforehand. Where the plan names the current but no flag the share of time,
   * boards that let odd and even cells take turns bleed half of it (common practice, no source).
   */
  static Bleed bleed(boolean isTold, PackPlan plan) {
    double planned = plan.board().map(b -> b.bleedMa().orElse(0)).orElse(0) / 1000.0;
    if (planned <= 0) {
      return isTold ? TOLD : UNTOLD;
    }
    return isTold
        ? new Bleed(planned, 0.035 * planned)
        : new Bleed(0.75 * planned, 0.175 * planned);
  }

  private ErrorBudget() {}
}
