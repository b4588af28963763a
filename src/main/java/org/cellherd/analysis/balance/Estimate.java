package org.cellherd.analysis.balance;

import org.cellherd.analysis.Interval;

/**
 * A value and how far it may be off.
 *
 * @param mid best value
 * @param half half the width of its interval, not negative
 */
record Estimate(double mid, double half) {

  Interval interval() {
    return new Interval(mid - half, mid, mid + half);
  }

  /** The same, never below a bound. */
  Interval notBelow(double bound) {
    double middle = Math.max(bound, mid);
    return new Interval(Math.max(bound, mid - half), middle, Math.max(middle, mid + half));
  }

  Estimate minus(Estimate other) {
    return new Estimate(mid - other.mid, Math.hypot(half, other.half));
  }

  /** Relative half width; infinite when the middle is not above 0. */
  double relative() {
    return mid > 0 ? half / mid : Double.POSITIVE_INFINITY;
  }
}
