package org.cellherd.analysis.estimate;

import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.moment.Phase;

/**
 * Which share of the time each cell bleeds: by the board's flags where it tells them, by what is
 * seen in the voltages, else by the rule that boards follow, a level and a distance from the
 * lowest.
 */
final class Bleeding {
  private static final double ABOVE_V = 0.010;
  private static final double SOFT_V = 0.004;

  private final double fromV;

  Bleeding(double fromV) {
    this.fromV = fromV;
  }

  void add(Moment m, BleedPull pull, double[] bled, double[] unsure) {
    double hours = m.isJoined() ? m.stepMs() / 3_600_000.0 : 0;
    boolean isKnown = pull.isKnown();
    if (hours == 0 || (isKnown ? pull.mask() == 0 : m.highest() / 10_000.0 < fromV - SOFT_V)) {
      return;
    }
    boolean mayBleed = isKnown || m.flowingMa() > 0 || m.phase() == Phase.HOLD;
    if (!mayBleed) {
      return;
    }
    double lowest = m.lowest() / 10_000.0;
    for (int i = 0; i < bled.length; i++) {
      double share = isKnown ? pull.mask() >> i & 1 : usual(m.cell(i + 1), lowest);
      bled[i] += share * hours;
      unsure[i] += share * (1 - share) * hours;
    }
  }

  private double usual(int raw, double lowest) {
    if (raw == Moment.MISSING) {
      return 0;
    }
    double v = raw / 10_000.0;
    double over = Math.min(v - fromV, v - lowest - ABOVE_V) / SOFT_V;
    return Math.min(1, Math.max(0, 0.5 + over));
  }
}
