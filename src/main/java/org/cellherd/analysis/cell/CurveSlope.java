package org.cellherd.analysis.cell;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.pack.Chemistry;

/**
 * How steep the open-circuit curve may be at a resting voltage, mV for each percent of charge; a
 * cell differs from the next, so bounds only. LFP: spans the curves of Safari and Delacourt, of
 * PyBaMM's set "Prada2013" and two measured cells; in its plateau there are no bounds, for it may
 * be flat. Nickel-rich: spans Chen et al. (2020) and two measured cells. Others: from memory.
 */
public final class CurveSlope {
  private CurveSlope() {}

  /** Bounds at this voltage; empty where the curve may be flat. */
  public static Optional<Interval> at(Chemistry chemistry, double mv) {
    return switch (chemistry) {
      case LFP -> lfp(mv);
      case NMC, NCA -> Optional.of(mv < 3450 ? of(8, 60) : of(2, 20));
      case LTO -> Optional.of(of(2, 15));
      case SODIUM_ION -> Optional.of(of(8, 30));
    };
  }

  private static Optional<Interval> lfp(double mv) {
    if (mv < 3000) {
      return Optional.of(of(20, 220));
    }
    if (mv < 3120) {
      return Optional.of(of(10, 70));
    }
    if (mv < 3200) {
      return Optional.of(of(4, 30));
    }
    if (mv > 3400) {
      return Optional.of(of(25, 240));
    }
    return mv > 3370 ? Optional.of(of(5, 110)) : Optional.empty();
  }

  private static Interval of(double low, double high) {
    return new Interval(low, Math.sqrt(low * high), high);
  }
}
