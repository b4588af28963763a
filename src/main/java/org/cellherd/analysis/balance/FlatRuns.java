package org.cellherd.analysis.balance;

import java.util.Arrays;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.CellCurve;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/**
 * What a cell differs by from the median one where the curve is flat. There a difference of charge
 * shows as little, and what resistance adds turns with the current: a difference that is left
 * between charge and discharge, where no current would flow, comes from a sense wire or its input.
 * A run is a twentieth of the rated charge, moved one way. How the median cell, free of what the
 * current adds, moved meanwhile tells what a cell a quarter of the rated charge away would differ
 * by: the flatter a run, the more it counts.
 */
final class FlatRuns {
  /** A run, share of the rated charge. */
  private static final double RUN_SHARE = 0.05;

  /** So much may a cell be away from the median one by charge and by less capacity together. */
  private static final double AWAY_SHARE = 0.25;

  /** A sense wire in trouble may read so much wrong and not be noticed (common practice). */
  private static final double WORST_MV = 25;

  /** A run whose slope may make more of that, mV, tells nothing of wires. */
  private static final double MOST_BY_CHARGE_MV = 20;

  /** A slope is known no better, mV. */
  private static final double LEAST_BY_CHARGE_MV = 1;

  /** By which cells of one make differ in hysteresis (from memory), mV. */
  private static final double HYSTERESIS_MV = 2;

  /** An input's own error and hysteresis together. */
  private static final double LEAST_MV = AnalysisSettings.BOARD_FLOOR_MV + HYSTERESIS_MV;

  /** Charge and discharge see a cell's resistance so unlike, a share: other warmth and times. */
  private static final double UNLIKE = 0.25;

  /** So long a current's offset does not change which way a run goes. */
  private static final long LONGEST_MS = 6 * 3_600_000L;

  private static final long JOINED_MS = 3 * 60_000L;

  /** One odd run, as at a change of load, proves nothing either way. */
  private static final int LEAST_RUNS = 6;

  private static final int LEAST_EACH_WAY = 2;

  private static final double MOST_SHARE = 0.9;

  /** Older runs fade: a wire may be mended. */
  private static final int KEPT = 64;

  private final double runAh;
  private final double awayAh;
  private final double leastMvAh;
  private final double[] sum;
  private final Way[] ways;
  private int minutes;
  private double movedAh;
  private double fromMv;
  private double sumAh;
  private double sumMv;
  private double sumAhAh;
  private double sumAhMv;
  private long fromUpMs;
  private long lastUpMs = -1;

  FlatRuns(PackPlan plan) {
    int cells = plan.series();
    runAh = RUN_SHARE * plan.ratedAh();
    awayAh = AWAY_SHARE * plan.ratedAh();
    leastMvAh =
        CellCurve.of(plan.chemistry()).slope(plan.limits().kneeMv()).map(Interval::low).orElse(0.0)
            * 100
            / plan.ratedAh();
    sum = new double[cells];
    ways = new Way[] {new Way(cells), new Way(cells)};
  }

  /** Runs of one direction of the current, each by the square of how flat it was. */
  private static final class Way {
    private final double[] sumMv;
    private final double[] above;
    private double runs;
    private double weight;
    private double sumA;
    private double sumByCharge;

    Way(int cells) {
      sumMv = new double[cells];
      above = new double[cells];
    }

    void add(double[] sum, int minutes, double amperes, double byChargeMv) {
      double keep = runs >= KEPT ? 0.5 : 1;
      double own = 1 / (byChargeMv * byChargeMv);
      runs = keep * runs + 1;
      weight = keep * weight + own;
      sumA = keep * sumA + own * amperes;
      sumByCharge = keep * sumByCharge + own * byChargeMv;
      for (int i = 0; i < sum.length; i++) {
        double mv = sum[i] / minutes;
        above[i] = keep * above[i] + (mv > 0 ? 1 : 0);
        sumMv[i] = keep * sumMv[i] + own * mv;
      }
    }

    double mv(int cell) {
      return sumMv[cell] / weight;
    }

    /** Mean current, A, positive charges. */
    double amperes() {
      return sumA / weight;
    }

    double byChargeMv() {
      return sumByCharge / weight;
    }

    /** True where nearly all runs have a cell, by index, on one side of the median one. */
    boolean isOneSided(int cell, boolean isAbove) {
      return runs >= LEAST_EACH_WAY
          && (isAbove ? above[cell] : runs - above[cell]) >= MOST_SHARE * runs;
    }

    void state(State io) {
      io.each(sumMv);
      io.each(above);
      runs = io.number(runs);
      weight = io.number(weight);
      sumA = io.number(sumA);
      sumByCharge = io.number(sumByCharge);
    }
  }

  /**
   * Takes a full minute in which the median cell was on its plateau.
   *
   * @param ohm resistance of the median cell, as far as it was seen
   */
  void accept(MinuteBlock minute, double ohm) {
    long now = minute.closedUpMs();
    double median = minute.median();
    double rested = median - 1000 * ohm * minute.meanCurrent();
    boolean isBegun = lastUpMs >= 0 && now - lastUpMs <= JOINED_MS;
    if (!isBegun || now - fromUpMs > LONGEST_MS) {
      begin(now, rested);
    } else {
      movedAh += minute.meanCurrent() * (now - lastUpMs) / 3_600_000.0;
      for (int i = 0; i < sum.length; i++) {
        sum[i] += minute.mv(i) - median;
      }
      minutes++;
      sumAh += movedAh;
      sumMv += rested - fromMv;
      sumAhAh += movedAh * movedAh;
      sumAhMv += movedAh * (rested - fromMv);
      if (Math.abs(movedAh) >= runAh) {
        close(now);
        begin(now, rested);
      }
    }
    lastUpMs = now;
  }

  private void begin(long now, double rested) {
    fromUpMs = now;
    fromMv = rested;
    movedAh = 0;
    sumAh = 0;
    sumMv = 0;
    sumAhAh = 0;
    sumAhMv = 0;
    minutes = 0;
    Arrays.fill(sum, 0);
  }

  private void close(long now) {
    double byCharge = Math.max(LEAST_BY_CHARGE_MV, Math.abs(slope()) * awayAh);
    if (byCharge <= MOST_BY_CHARGE_MV) {
      double amperes = movedAh * 3_600_000 / (now - fromUpMs);
      ways[movedAh > 0 ? 0 : 1].add(sum, minutes, amperes, byCharge);
    }
  }

  /** Of the median cell over the run, mV an Ah, by least squares. */
  private double slope() {
    return (sumAhMv - sumAh * sumMv / minutes) / (sumAhAh - sumAh * sumAh / minutes);
  }

  /** True where a cell, by index, surely reads wrong while charged and while discharged alike. */
  boolean isOff(int cell) {
    double off = offMv(cell);
    return isKnown()
        && ways[0].isOneSided(cell, off > 0)
        && ways[1].isOneSided(cell, off > 0)
        && Math.abs(off) > errorMv(cell);
  }

  private boolean isKnown() {
    return ways[0].runs >= LEAST_EACH_WAY
        && ways[1].runs >= LEAST_EACH_WAY
        && ways[0].runs + ways[1].runs >= LEAST_RUNS;
  }

  /** What else may set a cell apart from the median one, mV. */
  private double errorMv(int cell) {
    double turning = Math.abs(ways[0].mv(cell) - ways[1].mv(cell));
    double byCharge = between(ways[0].byChargeMv(), ways[1].byChargeMv());
    return LEAST_MV + byCharge + UNLIKE * turning / 2;
  }

  /**
   * The most that a cell, by index, may read wrong, mV: of any board that is not broken, or less.
   */
  double mostMv(int cell) {
    return isKnown() ? Math.min(WORST_MV, Math.abs(offMv(cell)) + errorMv(cell)) : WORST_MV;
  }

  /** What that looks like at the top, Ah. */
  double mostAh(int cell) {
    return mostMv(cell) / leastMvAh;
  }

  /** By how much a cell, by index, reads too high, mV: what is left where no current flows. */
  double offMv(int cell) {
    return between(ways[0].mv(cell), ways[1].mv(cell));
  }

  /** A value of a charge and one of a discharge, taken to no current. */
  private double between(double charged, double discharged) {
    double in = ways[0].amperes();
    double out = -ways[1].amperes();
    return (charged * out + discharged * in) / (in + out);
  }

  void state(State io) {
    for (Way way : ways) {
      way.state(io);
    }
    io.each(sum);
    minutes = io.number(minutes);
    movedAh = io.number(movedAh);
    fromMv = io.number(fromMv);
    sumAh = io.number(sumAh);
    sumMv = io.number(sumMv);
    sumAhAh = io.number(sumAhAh);
    sumAhMv = io.number(sumAhMv);
    fromUpMs = io.number(fromUpMs);
    lastUpMs = io.number(lastUpMs);
  }
}
