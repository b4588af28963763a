package org.cellherd.analysis.balance;

import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

/**
 * What a steady current adds to the voltage of the median cell: its resistance some minutes after
 * the current began, seen at starts of current on the plateau. Until one was seen, 0.1 ohm Ah over
 * the capacity (large iron-phosphate cells, common practice, no source), believed within a half.
 */
final class PathResistance {
  private static final double OHM_AH = 0.1;
  private static final long SETTLE_MS = 5 * 60_000L;
  private static final int KEPT = 8;

  private final double usualOhm;
  private final double leastStepMa;
  private final int topTenthMv;
  private long startUpMs = -1;
  private int restMedian;
  private int restCurrentMa;
  private double meanOhm;
  private int seen;

  PathResistance(double ratedAh, int kneeMv) {
    usualOhm = OHM_AH / ratedAh;
    leastStepMa = Math.max(2000, ratedAh * 1000 * 0.05);
    topTenthMv = kneeMv * 10;
  }

  void accept(Moment m) {
    int now = m.currentMa();
    int before = m.currentBeforeMa();
    if (!m.isJoined() || now == Moment.MISSING || before == Moment.MISSING) {
      startUpMs = -1;
      return;
    }
    if (Math.abs(now - before) >= leastStepMa && !m.isComplete()) {
      startUpMs = -1;
    } else if (Math.abs(now - before) >= leastStepMa) {
      start(m, before);
    } else if (startUpMs >= 0 && m.upMs() - startUpMs >= SETTLE_MS) {
      finish(m);
    }
  }

  private void start(Moment m, int before) {
    startUpMs = before == 0 && m.highest() < topTenthMv ? m.upMs() : -1;
    restCurrentMa = before;
    restMedian = medianBefore(m);
  }

  /** Mean of the cells before the step: the median would need a sort. */
  private static int medianBefore(Moment m) {
    long sum = 0;
    for (int cell = 1; cell <= m.series(); cell++) {
      if (m.cellBefore(cell) == Moment.MISSING) {
        return Moment.MISSING;
      }
      sum += m.cellBefore(cell);
    }
    return (int) (sum / m.series());
  }

  private void finish(Moment m) {
    startUpMs = -1;
    int step = m.currentMa() - restCurrentMa;
    if (restMedian == Moment.MISSING || !m.isComplete() || m.highest() >= topTenthMv) {
      return;
    }
    double ohm = (m.sum() / (double) m.series() - restMedian) / 10.0 / step;
    if (Math.abs(step) >= leastStepMa && ohm > usualOhm / 20 && ohm < usualOhm * 20) {
      seen = Math.min(KEPT, seen + 1);
      meanOhm += (ohm - meanOhm) / seen;
    }
  }

  /** Ohm of one cell, some minutes after a step. */
  double ohm() {
    return seen == 0 ? usualOhm : meanOhm;
  }

  /** How far off that may be, ohm. */
  double halfOhm() {
    return ohm() * (seen == 0 ? 0.6 : 0.35);
  }

  Estimate estimate() {
    return new Estimate(ohm(), halfOhm());
  }

  void save(StateWriter out) {
    out.putLong(startUpMs).putLong(restMedian).putLong(restCurrentMa);
    out.putDouble(meanOhm).putLong(seen);
  }

  void restore(StateReader in) {
    startUpMs = in.getLong();
    restMedian = in.getInt();
    restCurrentMa = in.getInt();
    meanOhm = in.getDouble();
    seen = in.getInt();
  }
}
