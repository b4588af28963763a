package org.cellherd.analysis.balance;

import org.cellherd.analysis.Interval;

/**
 * A value and how far it may be off.
 *
 * @param mid best value
 * @param half half the width of its interval, not negative
 */
record Estimate(double mid, double half) {

  /** The middle of an interval, and how far its ends are from there. */
  static Estimate of(Interval bounds) {
    double half = (bounds.high() - bounds.low()) / 2;
    return new Estimate(bounds.low() + half, half);
  }

  Interval interval() {
    return new Interval(mid - half, mid, mid + half);
  }

  Estimate minus(Estimate other) {
    return new Estimate(mid - other.mid, Math.hypot(half, other.half));
  }

  /** Both weighed by their errors; where they disagree, the interval reaches to both. */
  Estimate with(Estimate other) {
    double a = 1 / Math.max(1e-12, half * half);
    double b = 1 / Math.max(1e-12, other.half * other.half);
    double weighed = (a * mid + b * other.mid) / (a + b);
    double apart = Math.max(Math.abs(mid - weighed), Math.abs(other.mid - weighed));
    return new Estimate(weighed, Math.max(Math.sqrt(1 / (a + b)), apart));
  }

  /** Relative half width; infinite when the middle is not above 0. */
  double relative() {
    return mid > 0 ? half / mid : Double.POSITIVE_INFINITY;
  }
}
