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

  /** No used cell holds more than this share of its rating (common practice). */
  private static final double MOST_SHARE = 1.05;

  private final int cells;
  private final double ratedAh;
  private final int[] levels = new int[LEVELS];
  private final double[] drawnAh;
  private final int[] currentMa;
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
    clear();
  }

  void clear() {
    Arrays.fill(drawnAh, Double.NaN);
    endAh = 0;
  }

  /** The latest reading shows a load; so much was drawn since the pack was full, Ah. */
  void note(Moment moment, double drawn) {
    endAh = drawn;
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

  /** What each cell had left when the first one was empty, Ah. */
  List<Interval> left(int emptyCell) {
    List<Interval> left = new ArrayList<>();
    for (int cell = 0; cell < cells; cell++) {
      left.add(cell == emptyCell - 1 ? Interval.exactly(0) : left(cell, emptyCell - 1));
    }
    return left;
  }

  private Interval left(int cell, int empty) {
    for (int level = LEVELS - 1; level >= 0; level--) {
      int own = level * cells + cell;
      int first = level * cells + empty;
      if (isLike(own, first)) {
        double half = errorAh(empty, level);
        double mid = Math.max(0, drawnAh[own] - drawnAh[first]);
        return new Interval(Math.max(0, mid - half), mid, mid + half);
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
    return Math.sqrt(2) * mv * stepAh / ((levels[0] - levels[1]) / 10.0);
  }

  void state(State io) {
    io.each(drawnAh);
    endAh = io.number(endAh);
    io.each(currentMa);
  }
}
