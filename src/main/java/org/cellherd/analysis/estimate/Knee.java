package org.cellherd.analysis.estimate;

import java.util.Arrays;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;

/**
 * This pack's own knee as the fit of a charge left it: by how many Ah two voltages at the top are
 * apart, each minute anew and without another fit. Belongs to one thread.
 */
final class Knee {
  /**
   * A part of the curve that is known no better, one standard deviation of the logarithm, was not
   * seen: before any charge it is 0.6 and more.
   */
  private static final double MOST_ERROR = 0.5;

  /** How far off each voltage may be: the board's own error and some noise. */
  private static final double ERROR_V = 1.3 * AnalysisSettings.BOARD_FLOOR_MV / 1000;

  /** Half of the way over which the curve's slope is taken, V. */
  private static final double STEP_V = 0.002;

  private final Chemistry chemistry;
  private final double ratedAh;
  private final double[] increments = new double[Curve.STEPS];
  private final double[] errors = new double[Curve.STEPS];
  private final double[] mostBeyondOhm;
  private Curve curve;
  private double shift;
  private double ohm;
  private double fromV = Double.POSITIVE_INFINITY;

  Knee(PackPlan plan) {
    chemistry = plan.chemistry();
    ratedAh = plan.ratedAh();
    curve = Curve.of(chemistry, ratedAh, 0);
    mostBeyondOhm = new double[plan.series()];
    double usual = ErrorBudget.OWN_R * ErrorBudget.OHM_AH / ratedAh;
    Arrays.fill(mostBeyondOhm, 2 * Math.hypot(usual, ErrorBudget.STRAP_OHM));
  }

  /** Takes what a charge has shown. */
  void take(Pass pass) {
    shift = pass.shift(chemistry);
    curve = Curve.of(chemistry, ratedAh, shift);
    for (int j = 0; j < Curve.STEPS; j++) {
      increments[j] = curve.increment(j) * pass.growth(j);
      errors[j] = pass.growthError(j);
    }
    for (int k = 0; k < mostBeyondOhm.length; k++) {
      mostBeyondOhm[k] = pass.mostBeyondOhm(k);
    }
    ohm = pass.ohm();
    fromV = pass.plateauEndsV();
  }

  /**
   * By how many Ah a cell at one voltage is ahead of one at another, 95 %; empty where the lower
   * one is on the plateau, or no charge has shown the curve between them.
   *
   * @param amperes that have flowed for some minutes, positive charges
   */
  Optional<Interval> apart(double upperMv, double lowerMv, double amperes) {
    double lower = lowerMv / 1000 - ohm * amperes;
    double upper = upperMv / 1000 - ohm * amperes;
    if (lower < fromV) {
      return Optional.empty();
    }
    double[] from = new double[Curve.STEPS];
    double[] to = new double[Curve.STEPS];
    curve.weights(lower, from);
    curve.weights(upper, to);
    double ah = 0;
    double error = 0;
    for (int j = 0; j < Curve.STEPS; j++) {
      double step = (to[j] - from[j]) * increments[j];
      ah += step;
      error += step * errors[j];
    }
    if (error > MOST_ERROR * ah) {
      return Optional.empty();
    }
    double half = Math.hypot(2 * error, ERROR_V * Math.hypot(ahPerVolt(lower), ahPerVolt(upper)));
    return Optional.of(new Interval(ah - half, ah, ah + half));
  }

  private double ahPerVolt(double v) {
    return (curve.charge(v + STEP_V, increments) - curve.charge(v - STEP_V, increments))
        / (2 * STEP_V);
  }

  /** By how many ohm a cell, by index, may be above the usual one at the most, 95 %. */
  double mostBeyondOhm(int cell) {
    return mostBeyondOhm[cell];
  }

  void state(State io) {
    io.each(increments);
    io.each(errors);
    io.each(mostBeyondOhm);
    shift = io.number(shift);
    ohm = io.number(ohm);
    fromV = io.number(fromV);
    curve = Curve.of(chemistry, ratedAh, shift);
  }
}
