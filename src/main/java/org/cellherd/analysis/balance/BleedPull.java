package org.cellherd.analysis.balance;

import org.cellherd.analysis.Moment;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;
import org.cellherd.pack.Reading;

/**
 * Which cells are being bled, and what that does to their voltages.
 *
 * <p>Where the board tells which cells it bleeds, the drop in the sense leads is seen as these
 * flags change. Where it does not, a cell whose voltage jumps down by itself while the current
 * stays has begun to bleed, and ends with a jump up; {@link TapDrop} tells it from its neighbours,
 * also when odd and even cells take turns.
 */
final class BleedPull {
  /** Cells do not jump so far by themselves, 0.1 mV (common practice, no source). */
  private static final int JUMP = 40;

  private static final double MOST_PULL_MV = 100;
  private static final int LEAST_TOGGLES = 4;
  private static final int LEAST_SWAPS = 6;
  private static final int MOST_IDLE = 6;
  private static final int KEPT = 50;

  private final int cells;
  private final int fromTenthMv;
  private final TapDrop tapDrop;
  private final int[] jump;
  private final int[] pendingFrom;
  private boolean isTold;
  private long mask;
  private long pendingBegan;
  private long pendingEnded;
  private int toggles;
  private int swaps;
  private final int[] idle;
  private double dropMv;
  private int seen;

  BleedPull(int cells, int bleedFromMv) {
    this.cells = cells;
    this.fromTenthMv = bleedFromMv * 10;
    tapDrop = new TapDrop(cells);
    jump = new int[cells];
    idle = new int[cells];
    pendingFrom = new int[cells];
  }

  void accept(Moment m, Reading reading) {
    long told = reading.bleedMask().orElse(0);
    isTold |= told != 0;
    if (!isTold && m.highest() < fromTenthMv - 200) {
      mask = 0;
      return;
    }
    boolean isSteady = m.isJoined() && m.isComplete() && isSteady(m);
    if (!isSteady) {
      pendingBegan = 0;
      pendingEnded = 0;
      mask = isTold ? told : mask;
      return;
    }
    if ((pendingBegan | pendingEnded) != 0) {
      finish(m);
    }
    long next = isTold ? told : guess(m);
    if (next != mask) {
      pendingBegan = next & ~mask;
      pendingEnded = mask & ~next;
      for (int i = 0; i < cells; i++) {
        pendingFrom[i] = m.cellBefore(i + 1);
      }
    }
    mask = next;
  }

  private static boolean isSteady(Moment m) {
    int now = m.currentMa();
    int before = m.currentBeforeMa();
    return now != Moment.MISSING
        && before != Moment.MISSING
        && Math.abs(now - before) <= Math.max(m.deadZoneMa(), Math.abs(now) / 20);
  }

  /** Jumps of single cells, common movement taken off. */
  private long guess(Moment m) {
    int lift = 0;
    int most = 0;
    for (int i = 0; i < cells; i++) {
      jump[i] = m.cell(i + 1) - m.cellBefore(i + 1);
      most = Math.max(most, Math.abs(jump[i]));
      lift += jump[i];
    }
    if (most < JUMP || Math.abs(lift / cells) >= JUMP / 2) {
      return mask;
    }
    double[] drops = tapDrop.solve(jump, JUMP);
    long began = 0;
    long ended = 0;
    for (int i = 0; i < cells; i++) {
      began |= drops[i] > 0 ? 1L << i : 0;
      ended |= drops[i] < 0 ? 1L << i : 0;
    }
    return sober(m, began, ended);
  }

  /**
   * Forgets bleeding whose end was missed: of cells far below the bleed level, and, once odd and
   * even cells were seen to take turns, of cells that take no turns any more.
   */
  private long sober(Moment m, long began, long ended) {
    long next = (mask | began) & ~ended;
    toggles = Math.min(1_000_000, toggles + Long.bitCount(next ^ mask));
    swaps = Math.min(1_000_000, swaps + (began != 0 && ended != 0 ? 1 : 0));
    for (int i = 0; i < cells; i++) {
      long bit = 1L << i;
      idle[i] = ((began | ended) & bit) != 0 ? 0 : Math.min(KEPT, idle[i] + 1);
      boolean isStale = swaps >= LEAST_SWAPS && idle[i] > MOST_IDLE;
      next = isStale || m.cell(i + 1) < fromTenthMv - 300 ? next & ~bit : next;
    }
    return next;
  }

  /** Voltages are compared one reading after the change: boards tell flags and voltages apart. */
  private void finish(Moment m) {
    for (int i = 0; i < cells; i++) {
      jump[i] = m.cell(i + 1) - pendingFrom[i];
    }
    double mv = tapDrop.common(jump, pendingBegan, pendingEnded) / 10;
    if (mv > -MOST_PULL_MV / 4 && mv < MOST_PULL_MV) {
      seen = Math.min(KEPT, seen + 1);
      dropMv += (mv - dropMv) / seen;
    }
    pendingBegan = 0;
    pendingEnded = 0;
  }

  /** True when it is known which cells bleed: told by the board or seen in the voltages. */
  boolean isKnown() {
    return isTold || toggles >= LEAST_TOGGLES;
  }

  /** Bit 0 = cell 1 bleeds, as told or as seen. */
  long mask() {
    return mask;
  }

  /** True when a cell or a neighbour bleeds, by index. */
  boolean isPulled(int i) {
    return mask != 0 && ((mask << 1 >> i) & 7) != 0;
  }

  /** What to add to a cell's voltage, by index, to undo the pull, mV. */
  double correction(int i) {
    if (mask == 0 || dropMv <= 0) {
      return 0;
    }
    long around = mask << 1 >> i & 7;
    double share = (around & 2) != 0 ? 1 : 0;
    share -= ((around & 1) != 0 ? 0.5 : 0) + ((around & 4) != 0 ? 0.5 : 0);
    return share * dropMv;
  }

  /** By how much a bleeding cell reads low, mV; 0 until seen. */
  double dropMv() {
    return Math.max(0, dropMv);
  }

  void save(StateWriter out) {
    out.putBoolean(isTold).putLong(mask).putLong(pendingBegan).putLong(pendingEnded);
    out.putLong(cells).putLong(swaps);
    for (int turns : idle) {
      out.putLong(turns);
    }
    out.putLong(toggles).putDouble(dropMv).putLong(seen);
    for (int from : pendingFrom) {
      out.putLong(from);
    }
  }

  void restore(StateReader in) {
    isTold = in.getBoolean();
    mask = in.getLong();
    pendingBegan = in.getLong();
    pendingEnded = in.getLong();
    if (in.getLong() != cells) {
      throw new StateMismatch("bleed of another number of cells");
    }
    swaps = in.getInt();
    for (int i = 0; i < cells; i++) {
      idle[i] = in.getInt();
    }
    toggles = in.getInt();
    dropMv = in.getDouble();
    seen = in.getInt();
    for (int i = 0; i < cells; i++) {
      pendingFrom[i] = in.getInt();
    }
  }
}
