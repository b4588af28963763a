package org.cellherd.alert.rule;

import java.util.Arrays;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.CellVoltages;

/**
 * Where a load stops by itself: many disconnect at a voltage of their own, and do so at the same
 * one each time. Of the latest stops in the lower knee the lowest two tell: what the sun or a
 * person ended before it came there says nothing. Known while these two may have been at one
 * voltage, and only for as long as the lowest cell is not below it. Belongs to the engine's thread.
 */
final class LoadStop {
  /** Two inputs that are read twice, each 3 mV off at most (common practice, no source). */
  private static final double READ_MV = 6;

  /** So many stops are remembered: a load that once went on is told of until as many were not. */
  private static final int KEPT = 8;

  private static final double UNKNOWN = Double.NaN;
  private static final int NONE = -1;

  /** The lowest cell of the latest reading and of the one before. */
  private double seenMv = UNKNOWN;

  private double beforeMv;
  private long seenMs;
  private boolean isLoaded;

  /** How fast the lowest cell fell when two readings in a row were loaded, mV a ms. */
  private double mvPerMs;

  private final double[] lowMv = new double[KEPT];
  private final double[] highMv = new double[KEPT];
  private int next;

  LoadStop() {
    Arrays.fill(lowMv, Double.POSITIVE_INFINITY);
    Arrays.fill(highMv, Double.POSITIVE_INFINITY);
  }

  /** Notes where the current stops; what a charger ends, or a silence hides, is no stop. */
  void watch(RuleInput input, double lowKneeMv) {
    CellVoltages cells = input.confirmedCells().orElse(CellVoltages.NONE);
    if (cells.presentCount() == 0 || input.flowingMa().isEmpty()) {
      seenMv = UNKNOWN;
      isLoaded = false;
      return;
    }
    int flow = input.flowingMa().getAsInt();
    double lowest = cells.mv(cells.lowestCell());
    long passedMs = input.ageMs() - seenMs;
    if (flow == 0 && isLoaded) {
      stopped(passedMs);
    }
    boolean wasLoaded = isLoaded;
    isLoaded = flow < 0 && lowest <= lowKneeMv;
    if (wasLoaded && isLoaded && passedMs > 0) {
      mvPerMs = Math.max(0, (seenMv - lowest) / passedMs);
    }
    beforeMv = Double.isNaN(seenMv) ? lowest : seenMv;
    seenMv = lowest;
    seenMs = input.ageMs();
  }

  /**
   * It lies between the reading before the last loaded one, where the load had not stopped yet, and
   * how far the cell went on falling until the next. A heavy load falls through its voltage in one
   * step and is seen below it.
   */
  private void stopped(long untilNextMs) {
    double low = seenMv - mvPerMs * untilNextMs - READ_MV;
    if (low > highMv[lowest(lowest(NONE))]) {
      return; // Ended before it came to where it stops.
    }
    lowMv[next] = low;
    highMv[next] = Math.max(seenMv, beforeMv) + READ_MV;
    next = (next + 1) % KEPT;
  }

  /** True when the load stops before a cell that falls comes to a limit. */
  boolean comesBefore(double limitMv, double mv) {
    int first = lowest(NONE);
    int second = lowest(first);
    double low = Math.max(lowMv[first], lowMv[second]);
    return low <= highMv[first] && low > limitMv && mv >= low;
  }

  private int lowest(int butNot) {
    int lowest = butNot == 0 ? 1 : 0;
    for (int i = lowest + 1; i < KEPT; i++) {
      lowest = i != butNot && highMv[i] < highMv[lowest] ? i : lowest;
    }
    return lowest;
  }

  void state(State io) {
    seenMv = io.number(seenMv);
    beforeMv = io.number(beforeMv);
    seenMs = io.number(seenMs);
    isLoaded = io.flag(isLoaded);
    mvPerMs = io.number(mvPerMs);
    io.each(lowMv);
    io.each(highMv);
    next = io.number(next);
  }
}
