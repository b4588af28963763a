package org.cellherd.analysis.rest;

import java.util.Optional;
import org.cellherd.analysis.trend.MannKendall;
import org.cellherd.analysis.trend.StraightLine;
import org.cellherd.analysis.trend.TheilSen;

/**
 * How fast a cell moves away from the median.
 *
 * @param mvPerDay robust slope
 * @param errorMvPerDay its standard error, noise that follows itself counted
 * @param isSteadyFall true when it falls all the time, straight or not
 */
record Drift(double mvPerDay, double errorMvPerDay, boolean isSteadyFall) {
  private static final double SURE = 0.9999;
  private static final double HARD_MV_PER_DAY = 5;
  private static final double MOST_PHI = 0.95;
  private static final double LEAST_LEAK_MV_PER_DAY = 0.3;

  /**
   * The slope through a cell's rows, or empty when there are too few.
   *
   * @param resolutionMv a change smaller than the board's last digit over the whole rest is not
   *     seen
   */
  static Optional<Drift> of(double[] days, double[] mv, double resolutionMv) {
    if (days.length < 8) {
      return Optional.empty();
    }
    return TheilSen.through(days, mv, 0.95)
        .map(
            line -> new Drift(line.slope(), error(days, mv, line, resolutionMv), isSteadyFall(mv)));
  }

  private static boolean isSteadyFall(double[] mv) {
    MannKendall test = MannKendall.of(mv);
    return test.s() < 0 && test.isTrend(SURE);
  }

  private static double error(double[] days, double[] mv, TheilSen line, double resolutionMv) {
    int n = days.length;
    double[] rest = new double[n];
    double middle = line.jointIntercept(days, mv);
    double squares = 0;
    double lagged = 0;
    for (int i = 0; i < n; i++) {
      rest[i] = mv[i] - middle - line.slope() * days[i];
      squares += rest[i] * rest[i];
      lagged += i == 0 ? 0 : rest[i] * rest[i - 1];
    }
    double phi = squares > 0 ? Math.max(0, Math.min(MOST_PHI, lagged / squares)) : 0;
    double sigma = Math.sqrt(squares / (n - 2));
    double spread =
        StraightLine.through(days, mv).map(StraightLine::sumSquaresX).orElse(Double.MAX_VALUE);
    double white = sigma / Math.sqrt(spread);
    double unseen = resolutionMv / (days[n - 1] - days[0]) / 3;
    return Math.max(white * correlated(phi), unseen);
  }

  /** By how much noise that follows itself with this lag-one correlation widens the error. */
  static double correlated(double phi) {
    return Math.sqrt((1 + phi) / (1 - phi));
  }

  /**
   * True when the cell falls so fast that days are not needed, along whatever curve: 5 mV a day
   * (common practice, no source).
   */
  boolean isHard() {
    return isSteadyFall && mvPerDay < -HARD_MV_PER_DAY && -mvPerDay > errorMvPerDay;
  }

  /** True when the cell falls, beyond chance and by enough to matter. */
  boolean isFalling() {
    return mvPerDay < -3 * errorMvPerDay && mvPerDay < -LEAST_LEAK_MV_PER_DAY;
  }
}
