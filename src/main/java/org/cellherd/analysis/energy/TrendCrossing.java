package org.cellherd.analysis.energy;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.trend.MannKendall;
import org.cellherd.analysis.trend.StraightLine;

/**
 * When a straight trend will meet a threshold, with 95 % limits; or the reason why no date is
 * given.
 *
 * @param at x of the crossing; empty when refused
 * @param reason why there is no date, or why it is to be taken with care; empty text when neither
 */
record TrendCrossing(Optional<Interval> at, String reason) {

  /** Fewer points than this never give a date. */
  public static final int MIN_POINTS = 6;

  private static final double SURE = 0.95;

  /**
   * Looks ahead from the last point. A date further ahead than the time observed is refused, one
   * beyond half of it is marked.
   *
   * @param x times, rising
   * @param y what is watched
   */
  public static TrendCrossing ahead(double[] x, double[] y, double threshold) {
    if (StraightLine.sameLength(x, y) < MIN_POINTS) {
      return refuse("needs " + MIN_POINTS + " points in a line, found " + x.length);
    }
    Optional<StraightLine> fit = StraightLine.through(x, y);
    if (fit.isEmpty() || !MannKendall.of(y).isTrend(SURE)) {
      return refuse("no steady trend");
    }
    StraightLine line = fit.get();
    Optional<Interval> at = crossing(line, threshold);
    if (at.isEmpty()) {
      return refuse("the slope is not sure enough for a date");
    }
    double ahead = at.get().mid() - x[x.length - 1];
    if (at.get().high() < x[x.length - 1]) {
      return refuse("the trend leads away from the threshold, or passed it before");
    }
    if (ahead > line.spanX()) {
      return refuse("the date would lie further ahead than the time observed");
    }
    return new TrendCrossing(
        at, ahead > line.spanX() / 2 ? "further ahead than half the time observed" : "");
  }

  private static TrendCrossing refuse(String reason) {
    return new TrendCrossing(Optional.empty(), reason);
  }

  /**
   * The x at which the mean line meets a height, with Fieller's limits (inverse prediction); empty
   * where the slope is not sure enough for any.
   */
  static Optional<Interval> crossing(StraightLine line, double height) {
    double g = g(line);
    if (!(g < 1)) {
      return Optional.empty();
    }
    double rise = height - line.meanY();
    double a = square(line.slope()) * (1 - g);
    double c = square(error(line)) / line.count();
    double top = rise * line.slope();
    double root = Math.sqrt(Math.max(0, square(top) - a * (square(rise) - c)));
    double mid = line.meanX() + rise / line.slope();
    double first = Math.min(mid, line.meanX() + (top - root) / a);
    double last = Math.max(mid, line.meanX() + (top + root) / a);
    return Optional.of(new Interval(first, mid, last));
  }

  /** The share of the slope's square that its own error makes up; limits exist below 1. */
  static double g(StraightLine line) {
    return square(error(line) / line.slope()) / line.sumSquaresX();
  }

  private static double error(StraightLine line) {
    return line.errors(SURE) * line.residualDeviation();
  }

  private static double square(double v) {
    return v * v;
  }
}
