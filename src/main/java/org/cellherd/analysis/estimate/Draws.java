package org.cellherd.analysis.estimate;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.analysis.Interval;

/**
 * Possible places of all cells at once. Which cell is the last differs from draw to draw, so that
 * leads over it get bounds that need no case for ties.
 */
final class Draws {
  private static final int COUNT = 400;
  private static final double TAIL = 0.025;

  /** Share of a variance below which rounding is all that is left of it. */
  private static final double LEAST_PIVOT = 1e-9;

  private final double[][] places;
  private final double[] unsorted = new double[COUNT];

  private Draws(double[][] places) {
    this.places = places;
  }

  /** Draws from a Gaussian of unknowns; always the same ones. */
  static Draws of(double[] mean, double[][] covariance) {
    double[][] root = root(covariance);
    Random random = new Random(1);
    double[][] draws = new double[COUNT][mean.length];
    double[] z = new double[mean.length];
    for (double[] draw : draws) {
      for (int i = 0; i < z.length; i++) {
        z[i] = random.nextGaussian();
      }
      for (int i = 0; i < z.length; i++) {
        double sum = mean[i];
        for (int j = 0; j <= i; j++) {
          sum += root[i][j] * z[j];
        }
        draw[i] = sum;
      }
    }
    return new Draws(draws);
  }

  /**
   * Cholesky's lower triangle. A direction in which rounding left next to no variance, or less, is
   * taken for known: to divide by its root would blow up whatever comes after it.
   */
  private static double[][] root(double[][] c) {
    int n = c.length;
    double[][] l = new double[n][n];
    for (int i = 0; i < n; i++) {
      for (int j = 0; j <= i; j++) {
        double s = c[i][j];
        for (int k = 0; k < j; k++) {
          s -= l[i][k] * l[j][k];
        }
        if (i == j) {
          l[i][i] = s > LEAST_PIVOT * c[i][i] ? Math.sqrt(s) : 0;
        } else {
          l[i][j] = l[j][j] == 0 ? 0 : s / l[j][j];
        }
      }
    }
    return l;
  }

  /** Takes from each of the first cells a share of an unknown that was drawn with them. */
  void take(double[] shares, int source) {
    for (double[] draw : places) {
      for (int k = 0; k < shares.length; k++) {
        draw[k] -= shares[k] * draw[source];
      }
    }
  }

  /**
   * Lead of each of the first cells over the last, 95 %. Of many cells that are much alike the
   * lowest of a draw is far below the truth, so the middle and the lower bound are those over the
   * one cell that most likely is the last: no lead is less than that over any one cell.
   *
   * @param likely the likely place of each
   * @param tops for a cell that is only known to stand below some place, that place; else NaN. It
   *     may be the last at that place: leads over it are at least so much.
   */
  List<Interval> leads(double[] likely, double[] tops) {
    int lowest = 0;
    for (int j = 1; j < tops.length; j++) {
      lowest = likely[j] < likely[lowest] ? j : lowest;
    }
    double[] last = new double[COUNT];
    double[] most = new double[COUNT];
    for (int d = 0; d < COUNT; d++) {
      last[d] = Double.POSITIVE_INFINITY;
      most[d] = Double.NaN;
      for (int j = 0; j < tops.length; j++) {
        double place = places[d][j];
        last[d] = Math.min(last[d], place);
        most[d] = j != lowest ? most[d] : Double.isNaN(tops[j]) ? place : Math.max(place, tops[j]);
      }
    }
    List<Interval> leads = new ArrayList<>();
    for (int k = 0; k < tops.length; k++) {
      double low = Double.isNaN(tops[k]) ? Math.max(0, quantile(k, most, TAIL)) : 0;
      double mid = Math.max(low, likely[k] - likely[lowest]);
      leads.add(new Interval(low, mid, Math.max(mid, quantile(k, last, 1 - TAIL))));
    }
    return leads;
  }

  /**
   * Hours until no cell leads by more than is allowed, 95 %; open above where the current that is
   * drawn with the cells may well be none. As with {@link #leads} the lower bound is that of the
   * two cells which most likely are the first and the last.
   *
   * @param likely the likely place of each
   * @param cells so many of the unknowns are places; behind them stands the current of bleeding
   * @param allowedAh lead that may be left
   * @param duty share of the time in which it will flow
   */
  Interval hours(double[] likely, int cells, double allowedAh, double duty) {
    int first = 0;
    int last = 0;
    for (int j = 1; j < cells; j++) {
      first = likely[j] > likely[first] ? j : first;
      last = likely[j] < likely[last] ? j : last;
    }
    double[] pair = new double[COUNT];
    double[] all = new double[COUNT];
    for (int d = 0; d < COUNT; d++) {
      double[] draw = places[d];
      double least = Arrays.stream(draw, 0, cells).min().orElse(0);
      double most = Arrays.stream(draw, 0, cells).max().orElse(0);
      pair[d] = hours(draw[first] - draw[last] - allowedAh, draw[cells] * duty);
      all[d] = hours(most - least - allowedAh, draw[cells] * duty);
    }
    Arrays.sort(pair);
    Arrays.sort(all);
    double mid = pair[COUNT / 2];
    return new Interval(
        pair[(int) (TAIL * COUNT)], mid, Math.max(mid, all[(int) ((1 - TAIL) * COUNT)]));
  }

  private static double hours(double ah, double amperes) {
    return ah <= 0 ? 0 : amperes <= 0 ? Double.POSITIVE_INFINITY : ah / amperes;
  }

  private double quantile(int cell, double[] over, double share) {
    for (int d = 0; d < COUNT; d++) {
      unsorted[d] = places[d][cell] - over[d];
    }
    Arrays.sort(unsorted);
    return unsorted[(int) (share * COUNT)];
  }
}
