package org.cellherd.analysis;

import java.math.BigDecimal;
import java.math.RoundingMode;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Spoken;

/**
 * A number that is known to lie between two others.
 *
 * @param low lower bound
 * @param mid best value
 * @param high upper bound
 */
public record Interval(double low, double mid, double high) {
  /** Refuses bounds out of order. */
  public Interval {
    if (!(low <= mid && mid <= high)) {
      throw new IllegalArgumentException("not an interval: " + low + " " + mid + " " + high);
    }
  }

  public static Interval exactly(double value) {
    return new Interval(value, value, value);
  }

  /** The sum with another; its bounds hold however the two err. */
  public Interval plus(Interval other) {
    return new Interval(low + other.low, mid + other.mid, high + other.high);
  }

  /** The same in another unit; the factor is above 0. */
  public Interval times(double factor) {
    return new Interval(low * factor, mid * factor, high * factor);
  }

  /** The same to so many decimals, its bounds rounded outward; what is not finite stays. */
  public Interval to(int decimals) {
    return new Interval(
        rounded(low, decimals, RoundingMode.FLOOR),
        rounded(mid, decimals, RoundingMode.HALF_UP),
        rounded(high, decimals, RoundingMode.CEILING));
  }

  private static double rounded(double value, int decimals, RoundingMode mode) {
    return Double.isFinite(value)
        ? BigDecimal.valueOf(value).setScale(decimals, mode).doubleValue()
        : value;
  }

  /**
   * In words: one number where the truth is within half and twice of it, else from where to where.
   * What an old log holds without bounds is one number, too.
   */
  public String words(int decimals) {
    boolean isNumber = 2 * low >= mid && high <= 2 * mid;
    boolean isNothing = mid * 2 * Math.pow(10, decimals) < 1;
    boolean isAlone = Double.isInfinite(low) && Double.isInfinite(high);
    return isNumber || isNothing || isAlone
        ? Spoken.number(mid, decimals)
        : Spoken.between(low, high, decimals);
  }

  public Interval state(State io) {
    return new Interval(io.number(low), io.number(mid), io.number(high));
  }

  /** True when the value lies inside, bounds included. */
  public boolean holds(double value) {
    return low <= value && value <= high;
  }
}
