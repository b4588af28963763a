package org.cellherd.analysis.cell;

import java.util.Optional;
import java.util.function.DoubleUnaryOperator;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Chemistry;

/**
 * What is known of a chemistry's open-circuit curve at 25 degC, all of it in this file: resting
 * voltage over state of charge without hysteresis, bounds on its slope, and what a resting voltage
 * near empty says. Models, good for bounds only; a maker's curve of the very cell would be better.
 * The levels that follow from it are those of {@link Chemistry}.
 */
public final class CellCurve {
  private static final int BISECTIONS = 60;

  /** The LFP curves that were tried are not off by a constant. */
  private static final double NOT_CONSTANT = Double.NaN;

  /**
   * Slope: spans the curves of Safari and Delacourt, of PyBaMM's set "Prada2013" and two measured
   * cells with a third to spare (from 3 mV for a percent at 3.19 V to 306 below 2.8 V). Near empty:
   * between these two curves (J. Electrochem. Soc. 158 (2011) A562), with the measured curves of
   * two cylindrical cells within. Foot: a straight line through the slopes of both from 3.45 to
   * 3.60 V meets zero near 3.325 V.
   */
  private static final CellCurve LFP =
      new CellCurve(
          Chemistry.LFP,
          CellCurve::ironPhosphate,
          NOT_CONSTANT,
          0.020,
          new Bounds(
              new double[][] {
                {2800, 20, 400},
                {3000, 20, 220},
                {3120, 10, 70},
                {3370, 2, 30},
                {3400, 5, 110},
                {Double.POSITIVE_INFINITY, 25, 240}
              },
              new double[][] {
                {2500, 0, 2.5},
                {2800, 0, 5.5},
                {2900, 0.5, 7.5},
                {3000, 1, 11},
                {3100, 2, 15},
                {3200, 4.5, 29}
              },
              3325));

  /**
   * Slope: spans Chen et al. (2020) and two measured cells with a third to spare: below 3.2 V these
   * reach 72 to 240 mV for a percent. Near empty: around the measured curves of two cylindrical
   * cells and that of Chen et al. (J. Electrochem. Soc. 167 (2020) 080534).
   */
  private static final Bounds NICKEL_RICH =
      new Bounds(
          new double[][] {
            {2800, 100, 320},
            {3000, 60, 190},
            {3200, 25, 110},
            {3450, 8, 60},
            {Double.POSITIVE_INFINITY, 2, 20}
          },
          new double[][] {{2500, 0, 1}, {3000, 1, 5}, {3200, 3, 9}, {3300, 6, 13}, {3400, 9, 19}},
          Double.NaN);

  private static final CellCurve NMC =
      new CellCurve(Chemistry.NMC, CellCurve::layeredOxide, 0.12, 0.010, NICKEL_RICH);

  /** For want of better, the curve of NMC. */
  private static final CellCurve NCA =
      new CellCurve(Chemistry.NCA, CellCurve::layeredOxide, 0.12, 0.010, NICKEL_RICH);

  /** A straight line through usual end voltages; all of it from memory. */
  private static final CellCurve LTO =
      new CellCurve(
          Chemistry.LTO,
          z -> 1.5 + 1.15 * z,
          0.2,
          0.020,
          new Bounds(
              new double[][] {{Double.POSITIVE_INFINITY, 2, 15}}, new double[0][], Double.NaN));

  /** A straight line through usual end voltages; all of it from memory. */
  private static final CellCurve SODIUM_ION =
      new CellCurve(
          Chemistry.SODIUM_ION,
          z -> 2.0 + 1.95 * z,
          0.2,
          0.020,
          new Bounds(
              new double[][] {{Double.POSITIVE_INFINITY, 8, 30}}, new double[0][], Double.NaN));

  private final Chemistry.Plateau plateau;
  private final DoubleUnaryOperator volts;
  private final double modelError;
  private final double hysteresisV;
  private final Bounds bounds;

  private CellCurve(
      Chemistry chemistry,
      DoubleUnaryOperator volts,
      double modelError,
      double hysteresisV,
      Bounds bounds) {
    this.plateau = chemistry.plateau();
    this.volts = volts;
    this.modelError = modelError;
    this.hysteresisV = hysteresisV;
    this.bounds = bounds;
  }

  /**
   * What published curves lie between.
   *
   * @param slopes rows of mV, up to which the slope lies between two bounds, mV for each percent
   * @param nearEmpty rows of mV and the least and most percent that are left there
   * @param footMv where the straight line through the slopes of the upper knee meets zero; NaN
   *     where that knee is not known
   */
  @SuppressWarnings("ArrayRecordComponent")
  private record Bounds(double[][] slopes, double[][] nearEmpty, double footMv) {}

  /** The curve of a chemistry. */
  public static CellCurve of(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP -> LFP;
      case NMC -> NMC;
      case NCA -> NCA;
      case LTO -> LTO;
      case SODIUM_ION -> SODIUM_ION;
    };
  }

  /** Volts at a state of charge from 0 to 1. */
  public double volts(double soc) {
    return volts.applyAsDouble(soc);
  }

  /** State of charge from 0 to 1 of a resting voltage, clipped to these ends. */
  public double soc(double v) {
    double low = 0;
    double high = 1;
    for (int i = 0; i < BISECTIONS; i++) {
      double middle = (low + high) / 2;
      if (volts(middle) < v) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }

  /** Full distance between the charge and the discharge branch at rest, V (from memory). */
  public double hysteresisV() {
    return hysteresisV;
  }

  /**
   * Bounds on the slope at a resting voltage, mV for each percent of charge: a cell differs from
   * the next. Empty on a plateau, which may be flat.
   */
  public Optional<Interval> slope(double mv) {
    if (plateau.isBlind(mv)) {
      return Optional.empty();
    }
    double[] row = bounds.slopes[0];
    for (int i = 1; i < bounds.slopes.length && mv >= row[0]; i++) {
      row = bounds.slopes[i];
    }
    return Optional.of(new Interval(row[1], Math.sqrt(row[1] * row[2]), row[2]));
  }

  /** Bounds on the charge left at a resting voltage, percent; empty where it says too little. */
  public Optional<Interval> leftPct(double restMv) {
    double[][] rows = bounds.nearEmpty;
    for (int i = 1; i < rows.length; i++) {
      if (restMv <= rows[i][0]) {
        double share = Math.max(0, (restMv - rows[i - 1][0]) / (rows[i][0] - rows[i - 1][0]));
        double low = rows[i - 1][1] + share * (rows[i][1] - rows[i - 1][1]);
        double high = rows[i - 1][2] + share * (rows[i][2] - rows[i - 1][2]);
        return Optional.of(new Interval(low, (low + high) / 2, high));
      }
    }
    return Optional.empty();
  }

  /**
   * The foot of the upper knee, mV: within it the slope over charge grows in proportion to the
   * distance from here. NaN where the curve is taken as straight.
   */
  public double footMv() {
    return bounds.footMv;
  }

  /**
   * State of charge in percent of a resting voltage that may be off by some volts either way.
   * Widened by how far published curves of one chemistry lie apart: of LFP by up to six parts in
   * seven of the charge that is left below 3.2 V, and by 4 % above 3.37 V.
   */
  public Interval pct(double v, double errorV) {
    double mid = soc(v);
    double low = soc(v - errorV);
    double high = soc(v + errorV);
    if (!Double.isNaN(modelError)) {
      return interval(low - modelError, mid, high + modelError);
    }
    return mid < 0.5
        ? interval(0.15 * low, mid, 1.1 * high)
        : interval(low - 0.04, mid, high + 0.02);
  }

  private static Interval interval(double low, double mid, double high) {
    double bottom = Math.max(0, low) * 100;
    double top = Math.min(1, high) * 100;
    return new Interval(bottom, Math.max(bottom, Math.min(top, mid * 100)), top);
  }

  /** Of Chen et al., J. Electrochem. Soc. 167 (2020) 080534, as the set Prada2013 has it. */
  private static double graphite(double s) {
    return 1.9793 * Math.exp(-39.3631 * s)
        + 0.2482
        - 0.0909 * Math.tanh(29.8538 * (s - 0.1234))
        - 0.04478 * Math.tanh(14.9159 * (s - 0.2769))
        - 0.0205 * Math.tanh(30.4444 * (s - 0.6103));
  }

  /**
   * The positive curve of Afshar et al. (arXiv 1709.03970), as in the parameter set Prada2013 of
   * the open PyBaMM repository.
   */
  private static double ironPhosphate(double z) {
    double p = 0.0038 + (1 - z) * 2.3 / 3.29186;
    double n = 0.81 - (1 - z) * 2.3 / 2.90684;
    double positive =
        3.4077 - 0.020269 * p + 0.5 * Math.exp(-150 * p) - 0.9 * Math.exp(-30 * (1 - p));
    return positive - graphite(n);
  }

  /** Chen et al. 2020; positive fit from memory. */
  private static double layeredOxide(double z) {
    double p = 0.2638 + (1 - z) * 0.5902;
    double n = 0.9106 - (1 - z) * 0.8843;
    double positive =
        -0.8090 * p
            + 4.4875
            - 0.0428 * Math.tanh(18.5138 * (p - 0.5542))
            - 17.7326 * Math.tanh(15.7890 * (p - 0.3117))
            + 17.5842 * Math.tanh(15.9308 * (p - 0.3120));
    return positive - graphite(n);
  }
}
