package org.cellherd.analysis.balance;

import org.cellherd.analysis.estimate.BleedPull;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;

/**
 * Each cell's voltage behind two exponential filters of 20 s and 90 s, and the counted charge and
 * current behind the same ones: a voltage of the past meets the count of the same past, so that the
 * filters' lag cancels, and their difference is the slope of the moment.
 */
final class SmoothedCells {
  private static final double FAST_MS = 20_000;
  private static final double SLOW_MS = 90_000;

  private final int cells;
  private final double[] before;
  private final double[] fast;
  private final double[] slow;
  private boolean isStarted;
  private double countBefore;
  private double count;
  private double slowCount;
  private double current;
  private double slowCurrent;

  SmoothedCells(int cells) {
    this.cells = cells;
    this.before = new double[cells];
    this.fast = new double[cells];
    this.slow = new double[cells];
  }

  /** Takes the latest reading and the charge counted so far, Ah. */
  void accept(Moment m, double countAh, BleedPull pull) {
    boolean isNew = !isStarted || !m.isJoined();
    double wf = isNew ? 1 : m.stepMs() / (m.stepMs() + FAST_MS);
    double ws = isNew ? 1 : m.stepMs() / (m.stepMs() + SLOW_MS);
    boolean isPulling = pull.isPulling();
    for (int i = 0; i < cells; i++) {
      int v = m.cell(i + 1);
      if (v == Moment.MISSING) {
        continue;
      }
      double mv = isPulling ? v / 10.0 + pull.correction(i) : v / 10.0;
      before[i] = isNew ? mv : fast[i];
      fast[i] += (mv - fast[i]) * wf;
      slow[i] += (mv - slow[i]) * ws;
    }
    countBefore = isNew ? countAh : count;
    count += (countAh - count) * wf;
    slowCount += (countAh - slowCount) * ws;
    double amperes = m.currentMa() == Moment.MISSING ? 0 : m.currentMa() / 1000.0;
    current += (amperes - current) * wf;
    slowCurrent += (amperes - slowCurrent) * ws;
    isStarted = true;
  }

  /** Cell from index 0 rose through a level with the latest reading. */
  boolean rose(int i, double mv) {
    return before[i] < mv && fast[i] >= mv;
  }

  /** Smoothed voltage of a cell from index 0, mV. */
  double mv(int i) {
    return fast[i];
  }

  /** The count at which a level was passed within the latest step, Ah. */
  double countAt(int i, double mv) {
    double way = fast[i] - before[i];
    double share = way <= 0 ? 1 : Math.min(1, Math.max(0, (mv - before[i]) / way));
    return countBefore + (count - countBefore) * share;
  }

  /** Smoothed count, Ah. */
  double count() {
    return count;
  }

  /** Smoothed current, A. */
  double current() {
    return current;
  }

  /** True when the current has hardly changed within the last minutes. */
  boolean isSteady() {
    return Math.abs(current - slowCurrent) <= 0.1 * Math.abs(slowCurrent) + 0.05;
  }

  /** Slope of a cell from index 0, mV an Ah; 0 when nothing flows or it falls. */
  double slope(int i) {
    double ah = count - slowCount;
    return ah < 1e-6 ? 0 : Math.max(0, (fast[i] - slow[i]) / ah);
  }

  void state(State io) {
    isStarted = io.flag(isStarted);
    io.each(before);
    io.each(fast);
    io.each(slow);
    countBefore = io.number(countBefore);
    count = io.number(count);
    slowCount = io.number(slowCount);
    current = io.number(current);
    slowCurrent = io.number(slowCurrent);
  }
}
