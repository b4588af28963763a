package org.cellherd.analysis.balance;

import java.util.Arrays;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.PackPlan;

/**
 * What a cell differs by from the median one where the curve is flat. There a difference of charge
 * shows as next to nothing, and what resistance adds turns with the current: a difference that is
 * the same while the pack is charged and while it is discharged comes from a sense wire or its
 * input. A run is a twentieth of the rated charge, moved one way; it counts where the median cell,
 * free of what the current adds, moved by so little that a cell a quarter of the rated charge away
 * would read the same but for a few millivolts.
 */
final class FlatRuns {
  /** A run, share of the rated charge. */
  private static final double RUN_SHARE = 0.05;

  /** So much may a cell be away from the median one by charge and by less capacity together. */
  private static final double AWAY_SHARE = 0.25;

  /** What a run's slope may make of that, mV. */
  private static final double MOST_BY_CHARGE_MV = 5;

  /** By which cells of one make differ in hysteresis (from memory), mV. */
  private static final double HYSTERESIS_MV = 2;

  /** An input's own error, charge and hysteresis together. */
  private static final double LEAST_MV =
      AnalysisSettings.BOARD_FLOOR_MV + MOST_BY_CHARGE_MV + HYSTERESIS_MV;

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
    sum = new double[cells];
    ways = new Way[] {new Way(cells), new Way(cells)};
  }

  /** Runs of one direction of the current. */
  private static final class Way {
    private final double[] meanMv;
    private final double[] above;
    private final double[] below;
    private double runs;

    Way(int cells) {
      meanMv = new double[cells];
      above = new double[cells];
      below = new double[cells];
    }

    void add(double[] sum, int minutes) {
      double keep = runs >= KEPT ? 0.5 : 1;
      runs = keep * runs + 1;
      for (int i = 0; i < sum.length; i++) {
        double mv = sum[i] / minutes;
        above[i] = keep * above[i] + (mv > LEAST_MV ? 1 : 0);
        below[i] = keep * below[i] + (mv < -LEAST_MV ? 1 : 0);
        meanMv[i] += (mv - meanMv[i]) / runs;
      }
    }

    boolean isOff(int cell) {
      return runs >= LEAST_EACH_WAY && Math.max(above[cell], below[cell]) >= MOST_SHARE * runs;
    }

    void state(State io) {
      io.each(meanMv);
      io.each(above);
      io.each(below);
      runs = io.number(runs);
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
        close();
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

  private void close() {
    if (Math.abs(slope()) * awayAh <= MOST_BY_CHARGE_MV) {
      ways[movedAh > 0 ? 0 : 1].add(sum, minutes);
    }
  }

  /** Of the median cell over the run, mV an Ah, by least squares. */
  private double slope() {
    return (sumAhMv - sumAh * sumMv / minutes) / (sumAhAh - sumAh * sumAh / minutes);
  }

  /** True where a cell, by index, reads wrong while charged and while discharged alike. */
  boolean isOff(int cell) {
    return ways[0].runs + ways[1].runs >= LEAST_RUNS
        && ways[0].isOff(cell)
        && ways[1].isOff(cell)
        && ways[0].meanMv[cell] * ways[1].meanMv[cell] > 0;
  }

  /** By how much a cell, by index, reads too high, mV: free of what turns with the current. */
  double offMv(int cell) {
    return (ways[0].meanMv[cell] + ways[1].meanMv[cell]) / 2;
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
