package org.cellherd.analysis.capacity;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/**
 * What was drawn when each cell fell through levels of the lower knee. Two cells that fall through
 * one level under one current are as far apart as the charge drawn in between: threshold crossing
 * as at the top, without any open-circuit curve (common practice). Belongs to one thread.
 */
final class LowCrossings {
  /** How far a crossing may be off: the board's own error and some noise. */
  private static final double ERROR_MV = 1.3 * AnalysisSettings.BOARD_FLOOR_MV;

  private static final int LEVELS = 6;

  /** A cell that came back so far had been pressed down by a surge of load, 0.1 mV. */
  private static final int BACK = 100;

  /** Currents are alike when they differ by less than this share. */
  private static final double LIKE = 0.2;

  /** Resistance of a cell after some minutes, ohm Ah (common practice, no source). */
  private static final double OHM_AH = 0.1;

  /** Resistances of the cells of one pack differ by about so much (common practice). */
  private static final double OHM_SHARE = 0.15;

  /** What a bad joint may add where no load at half charge has shown it, ohm (the same). */
  private static final double JOINT_OHM = 0.0016;

  /** Shares of the rating drawn between which cells stand much alike, whatever they hold. */
  private static final double HALF_FROM = 0.3;

  private static final double HALF_TO = 0.6;

  /** No used cell holds more than this share of its rating (common practice). */
  private static final double MOST_SHARE = 1.05;

  private final int cells;
  private final double ratedAh;
  private final int[] levels = new int[LEVELS];
  private final double[] drawnAh;
  private final int[] currentMa;
  private final double[] halfLagMv;
  private double halfAmperes;
  private double endAh;

  LowCrossings(PackPlan plan, AnalysisSettings settings) {
    cells = plan.series();
    ratedAh = plan.ratedAh();
    int span = settings.lowKneeMv() - plan.limits().cutOffLowMv();
    for (int level = 0; level < LEVELS; level++) {
      levels[level] = 10 * settings.lowKneeMv() - 10 * span * level / LEVELS;
    }
    drawnAh = new double[cells * LEVELS];
    currentMa = new int[cells * LEVELS];
    halfLagMv = new double[cells];
    clear();
  }

  void clear() {
    Arrays.fill(drawnAh, Double.NaN);
    Arrays.fill(halfLagMv, 0);
    halfAmperes = 0;
    endAh = 0;
  }

  /** The latest reading shows a load; so much was drawn since the pack was full, Ah. */
  void note(Moment moment, double drawn) {
    endAh = drawn;
    if (drawn > HALF_FROM * ratedAh && drawn < HALF_TO * ratedAh) {
      half(moment);
    }
    if (moment.lowest() > levels[0] + BACK && Double.isNaN(drawnAh[moment.lowestCell() - 1])) {
      return;
    }
    for (int cell = 0; cell < cells; cell++) {
      int tenthMv = moment.cell(cell + 1);
      for (int level = 0; level < LEVELS; level++) {
        int at = level * cells + cell;
        if (tenthMv > levels[level] + BACK) {
          drawnAh[at] = Double.NaN;
        } else if (tenthMv <= levels[level] && Double.isNaN(drawnAh[at])) {
          drawnAh[at] = drawn;
          currentMa[at] = moment.currentMa();
        }
      }
    }
  }

  private void half(Moment moment) {
    halfAmperes += Math.abs(moment.currentMa()) / 1000.0;
    for (int cell = 0; cell < cells; cell++) {
      halfLagMv[cell] += (moment.median() - moment.cell(cell + 1)) / 10.0;
    }
  }

  /**
   * By how much a cell may read low near empty for its joint, its resistance or its wire: by as
   * much as it did at half charge, where charge hardly shows, for each ampere, mV.
   */
  private double readsLowMv(int cell, double amperes) {
    return amperes
        * (halfAmperes > 0 ? Math.max(0, halfLagMv[cell] / halfAmperes) : JOINT_OHM * 1000);
  }

  /**
   * What each cell had left when the first one was empty, Ah. That one looks emptier than it is by
   * what it reads low.
   */
  List<Interval> left(int emptyCell) {
    List<Interval> left = new ArrayList<>();
    for (int cell = 0; cell < cells; cell++) {
      left.add(cell == emptyCell - 1 ? ofEmpty(cell) : left(cell, emptyCell - 1));
    }
    return left;
  }

  private Interval ofEmpty(int cell) {
    for (int level = LEVELS - 1; level >= 0; level--) {
      if (!Double.isNaN(drawnAh[level * cells + cell])) {
        return new Interval(0, 0, fallAh(cell, level, cell));
      }
    }
    return Interval.exactly(0);
  }

  private Interval left(int cell, int empty) {
    for (int level = LEVELS - 1; level >= 0; level--) {
      int own = level * cells + cell;
      int first = level * cells + empty;
      if (isLike(own, first)) {
        double half = errorAh(empty, level);
        double mid = Math.max(0, drawnAh[own] - drawnAh[first]);
        double high = mid + half + fallAh(empty, level, cell);
        return new Interval(Math.max(0, mid - half), mid, high);
      }
    }
    double least = Double.isNaN(drawnAh[empty]) ? 0 : endAh - drawnAh[empty];
    double low = Math.max(0, least - errorAh(empty, 0));
    return new Interval(low, Math.max(low, least), Math.max(least, MOST_SHARE * ratedAh - endAh));
  }

  private boolean isLike(int a, int b) {
    double differ = Math.abs((double) currentMa[a] - currentMa[b]);
    return !Double.isNaN(drawnAh[a])
        && !Double.isNaN(drawnAh[b])
        && differ <= LIKE * Math.abs((double) currentMa[b]);
  }

  /** What the board's error and unequal resistances may be worth around a level, Ah. */
  private double errorAh(int cell, int level) {
    int at = level * cells + cell;
    double below = level + 1 < LEVELS ? drawnAh[at + cells] : endAh;
    double stepAh = (Double.isNaN(below) ? endAh : below) - drawnAh[at];
    if (!(stepAh > 0)) {
      return 0;
    }
    double amperes = Math.abs(currentMa[at]) / 1000.0;
    double mv = ERROR_MV + OHM_SHARE * amperes * OHM_AH / ratedAh * 1000;
    return Math.sqrt(2) * mv * stepAh / stepMv();
  }

  /**
   * What was drawn while a cell fell to a level from as far above it as one reads low; all it may
   * hold where that is far above the first. A step above that takes about twice the first, as the
   * curve flattens.
   */
  private double fallAh(int cell, int level, int readsLow) {
    double amperes = Math.abs(currentMa[level * cells + cell]) / 1000.0;
    double steps = readsLowMv(readsLow, amperes) / stepMv();
    double ah = 0;
    for (int at = level; at > 0 && steps > 0; at--, steps--) {
      double step = drawnAh[at * cells + cell] - drawnAh[(at - 1) * cells + cell];
      ah += Math.min(1, steps) * step;
    }
    double first = drawnAh[cells + cell] - drawnAh[cell];
    return steps <= 0 ? ah : steps <= 1 && first > 0 ? ah + 2 * steps * first : ratedAh;
  }

  private double stepMv() {
    return (levels[0] - levels[1]) / 10.0;
  }

  void state(State io) {
    io.each(drawnAh);
    endAh = io.number(endAh);
    io.each(currentMa);
    io.each(halfLagMv);
    halfAmperes = io.number(halfAmperes);
  }
}
