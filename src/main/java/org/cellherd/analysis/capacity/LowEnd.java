package org.cellherd.analysis.capacity;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Chemistry;

/**
 * What a resting voltage near empty says about the charge that is left, as bounds in percent. LFP:
 * between the curves of Safari and Delacourt (J. Electrochem. Soc. 158 (2011) A562) and of PyBaMM's
 * set "Prada2013", with the measured curves of two cylindrical cells within; nickel-rich: around
 * the measured curves of two cylindrical cells and that of Chen et al. (J. Electrochem. Soc. 167
 * (2020) 080534). Other chemistries: no bounds.
 */
final class LowEnd {
  /** Rows of mV, low percent, high percent. */
  private static final double[][] LFP = {
    {2500, 0, 2.5}, {2800, 0, 5.5}, {2900, 0.5, 7.5}, {3000, 1, 11}, {3100, 2, 15}, {3200, 4.5, 29}
  };

  private static final double[][] NICKEL_RICH = {
    {2500, 0, 1}, {3000, 1, 5}, {3200, 3, 9}, {3300, 6, 13}, {3400, 9, 19}
  };

  private LowEnd() {}

  /** Charge left in percent at this resting voltage; empty where it says too little. */
  static Optional<Interval> pct(Chemistry chemistry, double restMv) {
    double[][] rows =
        switch (chemistry) {
          case LFP -> LFP;
          case NMC, NCA -> NICKEL_RICH;
          case LTO, SODIUM_ION -> new double[0][];
        };
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
}
