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
 * come from a charge or go to their cut-off. A cell is surely far above where all steps together
 * leave it more than one and a half times the median cell's resistance, and steps up and steps down
 * both do so: a cell ahead of the others stands out in one knee, under a load that comes, not under
 * one that goes. Belongs to one thread.
 */
final class Excesses {
  /** Sound cells of one make differ by less (common practice, no source). */
  static final double RATIO = 1.5;

  private static final int KEPT = 24;

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

    /** What a cell, from 1, has beyond one and a half times the median cell. */
    private double beyond(int cell) {
      return ((double) low[cell - 1] + high[cell - 1] - RATIO * (median(low) + median(high))) / 2;
    }

    /** One over the square of how far off that may be. */
    private double weight(int cell) {
      double own = (double) high[cell - 1] - low[cell - 1];
      double half = Math.hypot(own, RATIO * (median(high) - median(low))) / 2;
      return 1 / Math.max(1, half * half);
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
    Sum both = new Sum();
    return series > 2
        && isAbove(cell, true, both)
        && isAbove(cell, false, both)
        && both.weighted > Math.sqrt(both.weight);
  }

  /**
   * What the steps of one direction show in the mean. It is known no better than by the best of
   * them: what else moved the cells may be alike in all.
   */
  private boolean isAbove(int cell, boolean isUp, Sum both) {
    Sum steps = new Sum();
    double best = 0;
    for (int i = 0; i < count(); i++) {
      Bounds step = rows[ring.oldest(i)];
      if (step.isUp == isUp) {
        double weight = step.weight(cell);
        steps.add(step.beyond(cell), weight);
        best = Math.max(best, weight);
      }
    }
    if (!(steps.weighted > 0)) {
      return false;
    }
    both.add(steps.weighted / steps.weight, best);
    return true;
  }

  /** A weighted sum. */
  private static final class Sum {
    private double weighted;
    private double weight;

    void add(double value, double by) {
      weighted += by * value;
      weight += by;
    }
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
