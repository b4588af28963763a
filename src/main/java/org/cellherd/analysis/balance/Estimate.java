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

  /** Relative half width; infinite when the middle is not above 0. */
  double relative() {
    return mid > 0 ? half / mid : Double.POSITIVE_INFINITY;
  }
}
