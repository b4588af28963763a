package org.cellherd.analysis.resistance;

import java.util.Arrays;
import java.util.BitSet;
import java.util.Optional;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.analysis.trend.Ring;

/**
 * Cells that one step after the other shows far above the others, whatever else moved them.
 * Relaxing and the curve move a cell the way the step does, so that each step bounds every
 * resistance on both sides even where it measures none well: near full and empty, where the cells
 * come from a charge or go to their cut-off. A cell is surely far above where more steps show it
 * than may err, each by itself, and no more of them exclude it; steps up and steps down must both
 * do so, since a cell ahead of the others stands out in one knee under a load that comes, not under
 * one that goes. The middles of such bounds are never averaged: the truth may be anywhere between.
 * Belongs to one thread.
 */
final class Excesses {
  /** Sound cells of one make differ by less (common practice, no source). */
  static final double RATIO = 1.5;

  private static final int KEPT = 24;

  /** One in so many steps may be wrong by chance: bounds hold to 95 %. */
  private static final int HELD = 20;

  /** One in so many is more than chance makes of {@link #KEPT}. */
  private static final int SHARE = 5;

  private final int series;
  private final Ring ring = new Ring(KEPT);
  private final Bounds[] rows = new Bounds[KEPT];

  /** Cells that are sure, by index; empty until somebody asks. */
  private Optional<BitSet> sure = Optional.empty();

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

    private double median(int[] of) {
      return Medians.median(Arrays.stream(of).asDoubleStream().toArray());
    }

    /** How many times the most of the median cell a cell, from 1, has at the least. */
    double ratio(int cell) {
      return low[cell - 1] / median(high);
    }

    /**
     * True where a cell, from 1, is far above the median cell, whatever it leaves open. A step that
     * leaves most cells no resistance at all contradicts itself and shows nothing.
     */
    private boolean shows(int cell) {
      double most = median(high);
      return most > 0 && low[cell - 1] > RATIO * most;
    }

    /** True where it is not, whatever it leaves open. */
    private boolean excludes(int cell) {
      return high[cell - 1] < RATIO * median(low);
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
    sure = Optional.empty();
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

  /** True where a cell, from 1, is surely far above the others, 95 %. */
  boolean isSure(int cell) {
    BitSet known = sure.orElseGet(this::judged);
    sure = Optional.of(known);
    return known.get(cell - 1);
  }

  private BitSet judged() {
    BitSet cells = new BitSet(series);
    for (int cell = 1; cell <= series; cell++) {
      cells.set(cell - 1, isFarAbove(cell));
    }
    return cells;
  }

  private boolean isFarAbove(int cell) {
    return series > 2 && isShown(cell, true) && isShown(cell, false);
  }

  private boolean isShown(int cell, boolean isUp) {
    int all = 0;
    int shown = 0;
    int excluded = 0;
    for (int i = 0; i < count(); i++) {
      Bounds step = rows[ring.oldest(i)];
      if (step.isUp == isUp) {
        all++;
        shown += step.shows(cell) ? 1 : 0;
        excluded += step.excludes(cell) ? 1 : 0;
      }
    }
    return SHARE * shown > all && HELD * excluded <= all;
  }

  void state(State io) {
    sure = Optional.empty();
    ring.state(io);
    for (int i = 0; i < count(); i++) {
      rows[i] = io.isRestoring() ? new Bounds(series) : rows[i];
      rows[i].state(io);
    }
  }
}
