package org.cellherd.analysis.balance;

import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Moment;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;
import org.cellherd.pack.Reading;

/**
 * How long each cell has been bled: by the board's flags where it tells, else for as long as a cell
 * stood at the bleed level and above the lowest one while charge flowed or was held.
 */
final class BleedBook {
  private static final int LEAST_AHEAD = 100;

  private final long[] bledMs;
  private final int fromTenthMv;
  private boolean isFlagged;
  private long mask;
  private long flaggedMs;
  private long wantedMs;

  BleedBook(int cells, AnalysisSettings settings) {
    bledMs = new long[cells];
    fromTenthMv = settings.bleedFromMv() * 10;
  }

  void accept(Moment m, Reading reading, boolean isCharging) {
    mask = reading.bleedMask().orElse(0);
    isFlagged |= mask != 0;
    if (!m.isJoined() || m.present() < 2) {
      return;
    }
    if (mask == 0 && (isFlagged || m.highest() < fromTenthMv)) {
      if (m.highest() >= fromTenthMv && isCharging && m.spread() > LEAST_AHEAD) {
        wantedMs += m.stepMs();
      }
      return;
    }
    book(m, isCharging);
  }

  private void book(Moment m, boolean isCharging) {
    for (int i = 0; i < bledMs.length; i++) {
      if (isFlagged ? (mask >> i & 1) != 0 : isCharging && wants(m, i + 1)) {
        bledMs[i] += m.stepMs();
      }
    }
    int leader = m.highestCell();
    if (isCharging && wants(m, leader)) {
      wantedMs += m.stepMs();
      flaggedMs += (mask >> (leader - 1) & 1) != 0 ? m.stepMs() : 0;
    }
  }

  private boolean wants(Moment m, int cell) {
    int v = m.cell(cell);
    return v != Moment.MISSING && v >= fromTenthMv && v - m.lowest() >= LEAST_AHEAD;
  }

  /** True when the board has ever told that it bleeds. */
  boolean isFlagged() {
    return isFlagged;
  }

  /** True when a cell from index 0 bleeds at this moment, by the board's flags. */
  boolean isBleeding(int i) {
    return (mask >> i & 1) != 0;
  }

  /** True when a cell or a neighbour on its tap bleeds by the flags: its voltage is pulled. */
  boolean isPulled(int i) {
    return mask != 0 && ((mask << 1 >> i) & 7) != 0;
  }

  /** How long a cell from index 0 has been bled, ms. */
  long bledMs(int i) {
    return bledMs[i];
  }

  /** Share of time in which the leader was flagged while it should bleed; 1 when not told. */
  double duty() {
    return isFlagged && wantedMs > 600_000 ? Math.min(1, flaggedMs / (double) wantedMs) : 1;
  }

  /** How long a leader stood where it should be bled, ms. */
  long wantedMs() {
    return wantedMs;
  }

  void save(StateWriter out) {
    out.putLongs(bledMs).putBoolean(isFlagged).putLong(mask);
    out.putLong(flaggedMs).putLong(wantedMs);
  }

  void restore(StateReader in) {
    long[] saved = in.getLongs();
    if (saved.length != bledMs.length) {
      throw new StateMismatch("bleed times of " + saved.length + " cells");
    }
    System.arraycopy(saved, 0, bledMs, 0, saved.length);
    isFlagged = in.getBoolean();
    mask = in.getLong();
    flaggedMs = in.getLong();
    wantedMs = in.getLong();
  }
}
