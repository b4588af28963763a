package org.cellherd.analysis.resistance;

import java.util.Arrays;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.Ring;

/**
 * Cells that one step after the other shows far above the others, whatever else moved them.
 * Relaxing and the curve move a cell the way the step does, so that each step bounds every
 * resistance on both sides even where it measures none well: near full and empty, where the cells
 * come from a charge or go to their cut-off. An excess counts where the least of a cell is above
 * one and a half times the most of the median cell, and is sure where most steps show it, both
 * those that go up and those that go down: a cell ahead of the others stands out in one knee, under
 * a load that comes, not under one that goes. Belongs to one thread.
 */
final class Excesses {
  /** Sound cells of one make differ by less (common practice, no source). */
  static final double RATIO = 1.5;

  private static final int KEPT = 24;

  private final int series;
  private final Ring ring = new Ring(KEPT);
  private final Bounds[] rows = new Bounds[KEPT];

  Excesses(int series) {
    this.series = series;
  }

  /** What one step leaves open, in tenths of a micro-ohm, and when and how it was. */
  static final class Bounds {
    private final int[] low;
    private final int[] high;
    private long upMs;
    private int pulse;
    private int tenthC;
    private boolean isUp;

    /** Nothing yet. */
    Bounds(int series) {
      low = new int[series];
      high = new int[series];
    }

    /** How the step was. */
    Bounds of(long atUpMs, int pulseOf, int celsiusTenths, boolean goesUp) {
      upMs = atUpMs;
      pulse = pulseOf;
      tenthC = celsiusTenths;
      isUp = goesUp;
      return this;
    }

    /** What it leaves open of a cell, from 1. */
    void cell(int cell, int least, int most) {
      low[cell - 1] = least;
      high[cell - 1] = most;
    }

    long upMs() {
      return upMs;
    }

    /** Index of the pulse length. */
    int pulse() {
      return pulse;
    }

    private void state(State io) {
      upMs = io.number(upMs);
      pulse = io.number(pulse);
      tenthC = io.number(tenthC);
      isUp = io.flag(isUp);
      io.each(low);
      io.each(high);
    }

    /** How many times the most of the median cell a cell, from 1, has at the least. */
    double ratio(int cell) {
      double most = Medians.median(Arrays.stream(high).asDoubleStream().toArray());
      return most > 0 ? low[cell - 1] / most : 0;
    }

    /** How well it knows a cell, from 1, as a share; at least 1 where it does not. */
    double errorShare(int cell) {
      double sum = (double) low[cell - 1] + high[cell - 1];
      return sum > 0 ? (high[cell - 1] - low[cell - 1]) / sum : Double.POSITIVE_INFINITY;
    }

    /** The middle of what it leaves open of a cell, from 1, milliohm. */
    double midMohm(int cell) {
      return ((double) low[cell - 1] + high[cell - 1]) / 2 / 1e4;
    }

    /** Temperature, degC; NaN when not known. */
    double celsius() {
      return tenthC == Moment.MISSING ? Double.NaN : tenthC / 10.0;
    }
  }

  void add(Bounds step) {
    rows[ring.next()] = step;
  }

  Excesses since(long fromUpMs) {
    Excesses later = new Excesses(series);
    for (int i = 0; i < count(); i++) {
      if (rows[ring.oldest(i)].upMs() >= fromUpMs) {
        later.add(rows[ring.oldest(i)]);
      }
    }
    return later;
  }

  int series() {
    return series;
  }

  int count() {
    return ring.size();
  }

  Bounds oldest() {
    return rows[ring.oldest(0)];
  }

  Bounds newest() {
    return rows[ring.newest(0)];
  }

  /** The step that knows a cell, from 1, best, the newest of equals. */
  Bounds best(int cell) {
    Bounds best = newest();
    for (int i = 0; i < count(); i++) {
      Bounds other = rows[ring.newest(i)];
      best = other.errorShare(cell) < best.errorShare(cell) ? other : best;
    }
    return best;
  }

  /** True where a cell, from 1, is surely far above the others. */
  boolean isSure(int cell) {
    return series > 2 && isMostly(cell, true) && isMostly(cell, false);
  }

  private boolean isMostly(int cell, boolean isUp) {
    int all = 0;
    int above = 0;
    for (int i = 0; i < count(); i++) {
      Bounds step = rows[ring.oldest(i)];
      all += step.isUp == isUp ? 1 : 0;
      above += step.isUp == isUp && step.ratio(cell) > RATIO ? 1 : 0;
    }
    return 2 * above > all;
  }

  void state(State io) {
    ring.state(io);
    for (int i = 0; i < count(); i++) {
      rows[i] = io.isRestoring() ? new Bounds(series) : rows[i];
      rows[i].state(io);
    }
  }
}
