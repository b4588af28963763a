package org.cellherd.analysis.cell;

import java.util.function.DoubleUnaryOperator;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Chemistry;

/**
 * Resting voltage of a cell over its state of charge at 25 degC, without hysteresis. Models, good
 * for bounds only; a maker's curve of the very cell would be better.
 *
 * <p>LFP: the positive curve of Afshar et al. (arXiv 1709.03970) and the graphite of Chen et al.,
 * J. Electrochem. Soc. 167 (2020) 080534, as in the parameter set Prada2013 of the open PyBaMM
 * repository. NMC and, for want of better, NCA: Chen et al. 2020 (positive fit from memory). LTO
 * and sodium-ion: straight lines through usual end voltages, from memory.
 */
public final class OcvCurve {
  private static final int BISECTIONS = 60;

  /** The LFP curves that were tried are not off by a constant. */
  private static final double LFP = Double.NaN;

  private final DoubleUnaryOperator volts;
  private final double modelError;
  private final double hysteresisV;

  private OcvCurve(DoubleUnaryOperator volts, double modelError, double hysteresisV) {
    this.volts = volts;
    this.modelError = modelError;
    this.hysteresisV = hysteresisV;
  }

  /** The curve of a chemistry. */
  public static OcvCurve of(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP -> new OcvCurve(OcvCurve::lfp, LFP, 0.020);
      case NMC, NCA -> new OcvCurve(OcvCurve::nmc, 0.12, 0.010);
      case LTO -> new OcvCurve(z -> 1.5 + 1.15 * z, 0.2, 0.020);
      case SODIUM_ION -> new OcvCurve(z -> 2.0 + 1.95 * z, 0.2, 0.020);
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

  private static double graphite(double s) {
    return 1.9793 * Math.exp(-39.3631 * s)
        + 0.2482
        - 0.0909 * Math.tanh(29.8538 * (s - 0.1234))
        - 0.04478 * Math.tanh(14.9159 * (s - 0.2769))
        - 0.0205 * Math.tanh(30.4444 * (s - 0.6103));
  }

  private static double lfp(double z) {
    double p = 0.0038 + (1 - z) * 2.3 / 3.29186;
    double n = 0.81 - (1 - z) * 2.3 / 2.90684;
    double positive =
        3.4077 - 0.020269 * p + 0.5 * Math.exp(-150 * p) - 0.9 * Math.exp(-30 * (1 - p));
    return positive - graphite(n);
  }

  private static double nmc(double z) {
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
