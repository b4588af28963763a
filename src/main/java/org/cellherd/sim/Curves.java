package org.cellherd.sim;

import static java.lang.Math.exp;
import static java.lang.Math.pow;
import static java.lang.Math.tanh;

import org.cellherd.pack.Chemistry;

/** The open-circuit curves that the simulated cells use. */
public final class Curves {

  /** Ah of charge, in the units of the fit, at which the fit reaches 3.6000 V. */
  private static final double LFP_FULL = 2.3010666;

  private static final OpenCircuitCurve LFP = OpenCircuitCurve.tabulate(Curves::lfp, -0.02, 1.024);
  private static final OpenCircuitCurve NMC = OpenCircuitCurve.tabulate(Curves::nmc, 0, 1);
  private static final OpenCircuitCurve LTO =
      OpenCircuitCurve.tabulate(soc -> 1.9 + 0.75 * soc - 0.4 * exp(-40 * soc), 0, 1.05);
  private static final OpenCircuitCurve SODIUM_ION =
      OpenCircuitCurve.tabulate(soc -> 2.0 + 1.9 * soc, 0, 1.05);

  private Curves() {}

  /** The curve of a chemistry. LTO and sodium-ion are rough shapes from memory. */
  public static OpenCircuitCurve of(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP -> LFP;
      case NMC, NCA -> NMC;
      case LTO -> LTO;
      case SODIUM_ION -> SODIUM_ION;
    };
  }

  /**
   * Iron phosphate against graphite: positive electrode of Safari and Delacourt, J. Electrochem.
   * Soc. 158 (2011) A562, with a graphite curve from a public source.
   */
  static double lfp(double soc) {
    double charge = soc * LFP_FULL;
    return ironPhosphate(0.9421 - charge / 2.5022) - graphite(0.0050 + charge / 2.8931);
  }

  private static double ironPhosphate(double y) {
    return 3.4323
        - 0.8428 * exp(-80.2493 * pow(1 - y, 1.3198))
        - 3.2474e-6 * exp(20.2645 * pow(1 - y, 3.8003))
        + 3.2482e-6 * exp(20.2646 * pow(1 - y, 3.7995));
  }

  private static double graphite(double x) {
    return 0.063
        + 0.8 * exp(-75 * (x + 0.007))
        - 0.0120 * tanh((x - 0.127) / 0.016)
        - 0.0118 * tanh((x - 0.155) / 0.016)
        - 0.0035 * tanh((x - 0.220) / 0.020)
        - 0.0095 * tanh((x - 0.190) / 0.013)
        - 0.0145 * tanh((x - 0.490) / 0.030)
        - 0.0800 * tanh((x - 1.030) / 0.055);
  }

  /** Nickel-rich against graphite-silicon: Chen et al., J. Electrochem. Soc. 167 (2020) 080534. */
  static double nmc(double soc) {
    return nickelRich(0.2638 + (1 - soc) * 0.5902) - graphiteSilicon(0.9106 - (1 - soc) * 0.8843);
  }

  private static double nickelRich(double s) {
    return -0.8090 * s
        + 4.4875
        - 0.0428 * tanh(18.5138 * (s - 0.5542))
        - 17.7326 * tanh(15.7890 * (s - 0.3117))
        + 17.5842 * tanh(15.9308 * (s - 0.3120));
  }

  private static double graphiteSilicon(double s) {
    return 1.9793 * exp(-39.3631 * s)
        + 0.2482
        - 0.0909 * tanh(29.8538 * (s - 0.1234))
        - 0.04478 * tanh(14.9159 * (s - 0.2769))
        - 0.0205 * tanh(30.4444 * (s - 0.6103));
  }
}
