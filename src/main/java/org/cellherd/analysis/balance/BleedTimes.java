package org.cellherd.analysis.balance;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.estimate.BleedPull;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * How long each cell has been bled: where that is told or seen, by it; else for as long as a cell
 * stood at the bleed level and above the lowest one while charge flowed or was held.
 *
 * <p>Many boards bleed odd and even cells in turns of seconds (common practice, no source). Polls
 * that keep step with the turns find always the same ones bled, though each is half the time.
 */
final class BleedTimes {
  private static final int LEAST_AHEAD = 150;
  private static final int ABOVE = 10;

  private static final int MISSED_TIMES = 3;
  private static final long LEAST_MISSED_MS = 3_600_000;

  private final long[] bledMs;

  /** How long even and odd cells, by index, stood above a bled one without being bled. */
  private final long[] missedMs = new long[2];

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
      boolean bleeds = isKnown ? isBled(pull, i) : isCharging && wants(m, i + 1);
      bledMs[i] += bleeds ? m.stepMs() : 0;
    }
    if (pull.isTold() && pull.mask() != 0) {
      miss(m, pull);
    }
    int leader = leader(m, pull);
    if (isCharging && leads(m, pull, leader)) {
      wantedMs += m.stepMs();
      knownMs += isBled(pull, leader) ? m.stepMs() : 0;
    }
  }

  private void miss(Moment m, BleedPull pull) {
    double lowest = Double.POSITIVE_INFINITY;
    for (int i = 0; i < bledMs.length; i++) {
      lowest = isBled(pull, i) ? Math.min(lowest, free(m, pull, i)) : lowest;
    }
    for (int parity = 0; parity < 2; parity++) {
      boolean isMissed = false;
      for (int i = parity; i < bledMs.length; i += 2) {
        isMissed |= !isBled(pull, i) && free(m, pull, i) > lowest + ABOVE;
      }
      missedMs[parity] += isMissed ? m.stepMs() : 0;
    }
  }

  private static boolean isBled(BleedPull pull, int i) {
    return (pull.mask() >> i & 1) != 0;
  }

  /**
   * True where odd or even cells were seldom told to be bled while they stood above cells that
   * were: in turns that polls meet by chance each kind is found about as often as it is missed.
   */
  boolean missesTurns() {
    for (int parity = 0; parity < 2; parity++) {
      long bled = 0;
      for (int i = parity; i < bledMs.length; i += 2) {
        bled = Math.max(bled, bledMs[i]);
      }
      if (missedMs[parity] > MISSED_TIMES * bled + LEAST_MISSED_MS) {
        return true;
      }
    }
    return false;
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
    io.each(missedMs);
    knownMs = io.number(knownMs);
    wantedMs = io.number(wantedMs);
    lastUpMs = io.number(lastUpMs);
  }
}
