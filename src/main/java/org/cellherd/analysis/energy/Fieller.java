package org.cellherd.analysis.energy;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.trend.StraightLine;

/** Where a straight line meets a height, with Fieller's limits (inverse prediction). */
final class Fieller {

  /** What the limits are about. */
  public enum Band {
    /** The mean line. */
    LINE(0),
    /** A single new value, which scatters too. */
    VALUE(1);

    private final double extra;

    Band(double extra) {
      this.extra = extra;
    }
  }

  private Fieller() {}

  /**
   * The share of the slope's square that its own error makes up; limits exist below 1.
   *
   * @param confidence such as 0.95
   */
  public static double g(StraightLine line, double confidence) {
    return square(error(line, confidence) / line.slope()) / line.sumSquaresX();
  }

  /** The x of a height, with limits; empty where the slope is not sure enough for any. */
  public static Optional<Interval> crossing(
      StraightLine line, double height, double confidence, Band band) {
    double g = g(line, confidence);
    if (!(g < 1)) {
      return Optional.empty();
    }
    double rise = height - line.meanY();
    double a = square(line.slope()) * (1 - g);
    double c = square(error(line, confidence)) * (band.extra + 1.0 / line.count());
    double top = rise * line.slope();
    double root = Math.sqrt(Math.max(0, square(top) - a * (square(rise) - c)));
    double mid = line.meanX() + rise / line.slope();
    double first = Math.min(mid, line.meanX() + (top - root) / a);
    double last = Math.max(mid, line.meanX() + (top + root) / a);
    return Optional.of(new Interval(first, mid, last));
  }

  private static double error(StraightLine line, double confidence) {
    return line.errors(confidence) * line.residualDeviation();
  }

  private static double square(double v) {
    return v * v;
  }
}
