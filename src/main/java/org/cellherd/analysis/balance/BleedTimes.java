package org.cellherd.analysis.balance;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.estimate.BleedPull;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * How long each cell has been bled: where that is told or seen, by it; else for as long as a cell
 * stood at the bleed level and above the lowest one while charge flowed or was held.
 */
final class BleedTimes {
  private static final int LEAST_AHEAD = 150;

  private final long[] bledMs;
  private final int fromTenthMv;
  private long knownMs;
  private long wantedMs;
  private long lastUpMs = -1;

  BleedTimes(int cells, AnalysisSettings settings) {
    bledMs = new long[cells];
    fromTenthMv = settings.bleedFromMv() * 10;
  }

  void accept(Moment m, BleedPull pull, boolean isCharging) {
    if (!m.isJoined() || m.present() < 2 || (pull.mask() == 0 && m.highest() < fromTenthMv)) {
      return;
    }
    lastUpMs = pull.mask() != 0 ? m.upMs() : lastUpMs;
    boolean isKnown = pull.isKnown();
    for (int i = 0; i < bledMs.length; i++) {
      boolean bleeds = isKnown ? (pull.mask() >> i & 1) != 0 : isCharging && wants(m, i + 1);
      bledMs[i] += bleeds ? m.stepMs() : 0;
    }
    int leader = leader(m, pull);
    if (isCharging && leads(m, pull, leader)) {
      wantedMs += m.stepMs();
      knownMs += (pull.mask() >> leader & 1) != 0 ? m.stepMs() : 0;
    }
  }

  private boolean wants(Moment m, int cell) {
    int v = m.cell(cell);
    return v != Moment.MISSING && v >= fromTenthMv && v - m.lowest() >= LEAST_AHEAD;
  }

  /** The highest cell by index without the pull of bleeding, which may hide it. */
  private int leader(Moment m, BleedPull pull) {
    int leader = 0;
    for (int i = 1; i < bledMs.length; i++) {
      leader = free(m, pull, i) > free(m, pull, leader) ? i : leader;
    }
    return leader;
  }

  private boolean leads(Moment m, BleedPull pull, int leader) {
    double lowest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < bledMs.length; i++) {
      double v = free(m, pull, i);
      lowest = v == Double.NEGATIVE_INFINITY ? lowest : Math.min(lowest, v);
    }
    double v = free(m, pull, leader);
    return v >= fromTenthMv && v - lowest >= LEAST_AHEAD;
  }

  private static double free(Moment m, BleedPull pull, int i) {
    int v = m.cell(i + 1);
    return v == Moment.MISSING ? Double.NEGATIVE_INFINITY : v + 10 * pull.correction(i);
  }

  /** How long a cell from index 0 has been bled, ms. */
  long bledMs(int i) {
    return bledMs[i];
  }

  /** Share of time in which the leader was bled while it stood where it should be. */
  double duty() {
    return wantedMs > 600_000 ? Math.min(1, knownMs / (double) wantedMs) : 1;
  }

  /** When a cell was last seen to bleed, fold time; -1 before. */
  long lastUpMs() {
    return lastUpMs;
  }

  /** How long a leader stood where it should be bled, ms. */
  long wantedMs() {
    return wantedMs;
  }

  void state(State io) {
    io.each(bledMs);
    knownMs = io.number(knownMs);
    wantedMs = io.number(wantedMs);
    lastUpMs = io.number(lastUpMs);
  }
}
