package org.cellherd.analysis.balance;

import org.cellherd.analysis.state.State;

/**
 * A straight line through (hours, value) by least squares in which old points fade: weight halves
 * every so many hours. Constant memory.
 */
final class FadingLine {
  private final double halfHours;
  private double origin;
  private double last;
  private double w;
  private double wt;
  private double wy;
  private double wtt;
  private double wty;
  private double wyy;
  private int count;
  private double first;

  FadingLine(double halfHours) {
    this.halfHours = halfHours;
  }

  void clear() {
    w = 0;
    wt = 0;
    wy = 0;
    wtt = 0;
    wty = 0;
    wyy = 0;
    count = 0;
  }

  void add(double hours, double value) {
    if (count == 0) {
      origin = hours;
      first = hours;
    } else {
      double keep = Math.pow(0.5, (hours - last) / halfHours);
      w *= keep;
      wt *= keep;
      wy *= keep;
      wtt *= keep;
      wty *= keep;
      wyy *= keep;
    }
    last = hours;
    double t = hours - origin;
    w += 1;
    wt += t;
    wy += value;
    wtt += t * t;
    wty += t * value;
    wyy += value * value;
    count = Math.min(count + 1, 1_000_000);
  }

  int count() {
    return count;
  }

  /** Hours between first and last point. */
  double span() {
    return count == 0 ? 0 : last - first;
  }

  /** Slope per hour with two standard errors, widened for points that follow each other closely. */
  Estimate slope() {
    double sxx = wtt - wt * wt / w;
    if (count < 3 || sxx <= 0) {
      return new Estimate(0, Double.POSITIVE_INFINITY);
    }
    double sxy = wty - wt * wy / w;
    double syy = wyy - wy * wy / w;
    double b = sxy / sxx;
    double rest = Math.max(0, syy - b * sxy) / Math.max(1, w - 2);
    return new Estimate(b, 4 * Math.sqrt(rest / sxx));
  }

  /** Value of the line at its last point. */
  double atLast() {
    double sxx = wtt - wt * wt / w;
    double b = sxx <= 0 ? 0 : (wty - wt * wy / w) / sxx;
    return wy / w + b * (last - origin - wt / w);
  }

  void state(State io) {
    count = io.number(count);
    origin = io.number(origin);
    last = io.number(last);
    w = io.number(w);
    wt = io.number(wt);
    wy = io.number(wy);
    wtt = io.number(wtt);
    wty = io.number(wty);
    wyy = io.number(wyy);
    first = io.number(first);
  }
}
