package org.cellherd.analysis.balance;

import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/**
 * What each cell has beyond the median one for every ampere that comes or goes from one minute to
 * the next: least squares through the origin, apart for steps up and down. Between two minutes
 * charge, wires and hysteresis hardly change; and what a steeper curve moves a cell by, in the knee
 * as elsewhere, goes with the current and not with its step, so that it counts once for and once
 * against as clouds come and go. Only what both directions show is told.
 */
final class JointSteps {
  /** Sound cells of one make differ by less than half (common practice, no source). */
  private static final double RATIO = 0.5;

  /** Smaller steps are noise of the current, share of the rated charge an hour. */
  private static final double LEAST_SHARE = 0.02;

  private static final long JOINED_MS = 90_000;
  private static final int LEAST_STEPS = 10;
  private static final int KEPT = 400;
  private static final double ERRORS = 3;

  private final double leastA;
  private final Way up;
  private final Way down;
  private final double[] before;
  private double amperes;
  private double median;
  private long lastUpMs = -1;

  JointSteps(PackPlan plan) {
    int cells = plan.series();
    leastA = Math.max(1, LEAST_SHARE * plan.ratedAh());
    up = new Way(cells);
    down = new Way(cells);
    before = new double[cells];
  }

  /** Sums over steps of one direction. */
  private static final class Way {
    private final double[] cell;
    private final double[] cell2;
    private final double[] cell3;
    private double steps;
    private double square;
    private double fourth;
    private double shared;

    Way(int cells) {
      cell = new double[cells];
      cell2 = new double[cells];
      cell3 = new double[cells];
    }

    void add(double di, double medianMv, MinuteBlock minute, double[] beforeMv) {
      double keep = steps >= KEPT ? 0.5 : 1;
      steps = keep * steps + 1;
      square = keep * square + di * di;
      fourth = keep * fourth + di * di * di * di;
      shared = keep * shared + di * medianMv;
      for (int i = 0; i < cell.length; i++) {
        double apart = minute.mv(i) - beforeMv[i] - medianMv;
        cell[i] = keep * cell[i] + di * apart;
        cell2[i] = keep * cell2[i] + di * di * apart * apart;
        cell3[i] = keep * cell3[i] + di * di * di * apart;
      }
    }

    double milliohm() {
      return steps < LEAST_STEPS ? 0 : shared / square;
    }

    double excess(int i) {
      return cell[i] / square;
    }

    /** At the least, by the scatter of the steps themselves. */
    double least(int i) {
      double b = excess(i);
      double scatter = Math.max(0, cell2[i] - 2 * b * cell3[i] + b * b * fourth);
      return b - ERRORS * Math.sqrt(scatter) / square;
    }

    void state(State io) {
      io.each(cell);
      io.each(cell2);
      io.each(cell3);
      steps = io.number(steps);
      square = io.number(square);
      fourth = io.number(fourth);
      shared = io.number(shared);
    }
  }

  /** Takes a full minute in which the median cell was on its plateau. */
  void accept(MinuteBlock minute) {
    double now = minute.meanCurrent();
    double middle = minute.median();
    double di = now - amperes;
    if (lastUpMs >= 0 && minute.closedUpMs() - lastUpMs <= JOINED_MS && Math.abs(di) >= leastA) {
      (di > 0 ? up : down).add(di, middle - median, minute, before);
    }
    for (int i = 0; i < before.length; i++) {
      before[i] = minute.mv(i);
    }
    amperes = now;
    median = middle;
    lastUpMs = minute.closedUpMs();
  }

  /** Resistance of the median cell within a minute or two, ohm; 0 while it was not seen. */
  double ohm() {
    boolean isSeen = up.milliohm() > 0 && down.milliohm() > 0;
    return isSeen ? (up.milliohm() + down.milliohm()) / 2000 : 0;
  }

  /** True where a cell, by index, surely has half as much again as the median one, and more. */
  boolean isHigh(int cell) {
    return ohm() > 0
        && up.least(cell) > RATIO * up.milliohm()
        && down.least(cell) > RATIO * down.milliohm();
  }

  /** What a cell, by index, has beyond the median one, milliohm. */
  double excessMilliohm(int cell) {
    return (up.excess(cell) + down.excess(cell)) / 2;
  }

  void state(State io) {
    up.state(io);
    down.state(io);
    io.each(before);
    amperes = io.number(amperes);
    median = io.number(median);
    lastUpMs = io.number(lastUpMs);
  }
}
