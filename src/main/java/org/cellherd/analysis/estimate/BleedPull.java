package org.cellherd.analysis.estimate;

import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * Which cells are being bled, and what that does to their voltages.
 *
 * <p>Where the board tells which cells it bleeds, the drop in the sense leads is seen as these
 * flags change. Where it does not, a cell whose voltage jumps down by itself while the current
 * stays has begun to bleed, and ends with a jump up; {@link TapDrop} tells it from its neighbours,
 * also when odd and even cells take turns.
 */
public final class BleedPull {
  /** Cells do not jump so far by themselves, 0.1 mV (common practice, no source). */
  private static final int JUMP = 40;

  /** Noise of a board's current (common practice, no source). */
  private static final int NOISE_MA = 50;

  private static final double HARMLESS_RATE = 0.01;
  private static final double STEADY_SHARE = 0.05;
  private static final double MOST_PULL_MV = 100;

  private static final int LEAST_TOGGLES = 4;
  private static final int LEAST_SWAPS = 6;
  private static final int MOST_IDLE = 20;

  private static final int KEPT = 50;

  /** Cells 1, 3, 5 and so on. */
  private static final long ODD = 0x5555_5555_5555_5555L;

  private final int cells;
  private final int fromTenthMv;
  private final double ratedMa;
  private final TapDrop tapDrop;
  private final int[] jump;
  private boolean isTold;
  private long mask;
  private long maskBefore;
  private long changed;
  private int toggles;
  private int swaps;
  private final int[] idle;
  private final DropMean atOnce = new DropMean();
  private final DropMean late = new DropMean();

  /** Nothing is known yet. */
  public BleedPull(PackPlan plan, int bleedFromMv) {
    cells = plan.series();
    fromTenthMv = bleedFromMv * 10;
    ratedMa = plan.ratedAh() * 1000;
    tapDrop = new TapDrop(cells);
    jump = new int[cells];
    idle = new int[cells];
  }

  public void accept(Moment m, Reading reading) {
    long told = reading.bleedMask().orElse(0);
    isTold |= reading.bleedMask().isPresent();
    if (!isTold && m.highest() < fromTenthMv - 200) {
      mask = 0;
      maskBefore = 0;
      changed = 0;
      return;
    }
    boolean isSteady = m.isJoined() && m.isComplete() && isSteady(m);
    long next = isTold ? told : isSteady ? guess(m) : mask;
    if (isSteady && isTold) {
      learn(m, next);
    }
    changed = isSteady ? next ^ mask : 0;
    maskBefore = mask;
    mask = next;
  }

  /**
   * Boards tell flags and voltages of the same instant, or flags one reading ahead: both are tried,
   * and the one that shows the greater drop is right. Readings with changes in a row tell neither.
   */
  private void learn(Moment m, long next) {
    long now = next ^ mask;
    if ((now == 0) == (changed == 0)) {
      return;
    }
    for (int i = 0; i < cells; i++) {
      jump[i] = m.cell(i + 1) - m.cellBefore(i + 1);
    }
    if (now != 0) {
      atOnce.add(tapDrop.common(jump, next & ~mask, mask & ~next) / 10);
    } else {
      late.add(tapDrop.common(jump, mask & ~maskBefore, maskBefore & ~mask) / 10);
    }
  }

  /**
   * A current at the edge of the dead zone is printed now as 0 and now in full; and what lifts no
   * cell by a quarter of {@link #JUMP} hides no bleeding: at 0.1 V Ah a cell C/100 does not.
   */
  private boolean isSteady(Moment m) {
    int now = m.currentMa();
    int before = m.currentBeforeMa();
    return now != Moment.MISSING
        && before != Moment.MISSING
        && Math.abs(now - before) <= Math.max(m.deadZoneMa() + NOISE_MA, hiddenMa(now));
  }

  private double hiddenMa(int now) {
    return Math.max(HARMLESS_RATE * ratedMa, STEADY_SHARE * Math.abs(now));
  }

  /** Jumps of single cells; a movement of all cells tells nothing. */
  private long guess(Moment m) {
    int most = 0;
    for (int i = 0; i < cells; i++) {
      jump[i] = m.cell(i + 1) - m.cellBefore(i + 1);
      most = Math.max(most, Math.abs(jump[i]));
    }
    if (most < JUMP) {
      return mask;
    }
    int[] signs = tapDrop.solve(jump, 10 * dropMv(), JUMP);
    if (Math.abs(tapDrop.leftLift(jump)) >= JUMP / 2.0) {
      return mask;
    }
    long began = 0;
    long ended = 0;
    for (int i = 0; i < cells; i++) {
      began |= signs[i] > 0 ? 1L << i : 0;
      ended |= signs[i] < 0 ? 1L << i : 0;
    }
    if (began == 0 && ended == 0) {
      return mask;
    }
    atOnce.add(tapDrop.common(jump, began, ended) / 10);
    return sober(m, began, ended);
  }

  /**
   * Forgets bleeding whose end was missed: of cells far below the bleed level, and, once odd and
   * even cells were seen to take turns, of cells that take no turns any more.
   */
  private long sober(Moment m, long began, long ended) {
    long next = (mask | began) & ~ended;
    toggles = Math.min(1_000_000, toggles + Long.bitCount(next ^ mask));
    if (began != 0 && ended != 0) {
      swaps = isTurn(began, ended) ? Math.min(1_000_000, swaps + 1) : 0;
    }
    for (int i = 0; i < cells; i++) {
      long bit = 1L << i;
      idle[i] = ((began | ended) & bit) != 0 ? 0 : Math.min(KEPT, idle[i] + 1);
      boolean isStale = swaps >= LEAST_SWAPS && idle[i] > MOST_IDLE;
      boolean isFar = m.cell(i + 1) + 10 * dropMv() < fromTenthMv - 300;
      next = isStale || isFar ? next & ~bit : next;
    }
    return next;
  }

  /**
   * True where odd cells gave way to even ones or the reverse; where one odd cell gave way to
   * another, each goes by its own voltage and none takes turns.
   */
  private static boolean isTurn(long began, long ended) {
    return ((began | ended << 1) & ODD) == 0 || ((began << 1 | ended) & ODD) == 0;
  }

  /** True when it is known which cells bleed: told by the board or seen in the voltages. */
  public boolean isKnown() {
    return isTold || toggles >= LEAST_TOGGLES;
  }

  /** True where the board itself tells which cells it bleeds. */
  public boolean isTold() {
    return isTold;
  }

  /** Bit 0 = cell 1 bleeds, as told or as seen. */
  public long mask() {
    return mask;
  }

  /** The cells whose bleeding shows in the latest voltages. */
  private long pulling() {
    return isTold && late.mean() > atOnce.mean() ? maskBefore : mask;
  }

  /** True when the bleeding of any cell shows in the latest voltages. */
  public boolean isPulling() {
    return pulling() != 0;
  }

  /** True when a cell or a neighbour bleeds, by index. */
  public boolean isPulled(int i) {
    long pulling = pulling();
    return pulling != 0 && ((pulling << 1 >> i) & 7) != 0;
  }

  /** What to add to a cell's voltage, by index, to undo the pull, mV. */
  public double correction(int i) {
    long pulling = pulling();
    double dropMv = pulling == 0 ? 0 : dropMv();
    if (dropMv == 0) {
      return 0;
    }
    long around = pulling << 1 >> i & 7;
    double share = (around & 2) != 0 ? 1 : 0;
    share -= ((around & 1) != 0 ? 0.5 : 0) + ((around & 4) != 0 ? 0.5 : 0);
    return share * dropMv;
  }

  /** By how much a bleeding cell reads low, mV; 0 until seen. */
  public double dropMv() {
    return Math.max(0, Math.max(atOnce.mean(), late.mean()));
  }

  public void state(State io) {
    isTold = io.flag(isTold);
    mask = io.number(mask);
    maskBefore = io.number(maskBefore);
    changed = io.number(changed);
    toggles = io.number(toggles);
    swaps = io.number(swaps);
    io.each(idle);
    atOnce.state(io);
    late.state(io);
  }

  /** Mean of the drops seen, mV; the newest count most once there are many. */
  private static final class DropMean {
    private double mean;
    private int seen;

    void add(double mv) {
      if (mv > -MOST_PULL_MV / 4 && mv < MOST_PULL_MV) {
        seen = Math.min(KEPT, seen + 1);
        mean += (mv - mean) / seen;
      }
    }

    double mean() {
      return mean;
    }

    void state(State io) {
      mean = io.number(mean);
      seen = io.number(seen);
    }
  }
}
