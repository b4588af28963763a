package org.cellherd.alert.input;

import java.util.Arrays;
import java.util.OptionalDouble;
import org.cellherd.analysis.state.State;
import org.cellherd.analysis.trend.Ring;
import org.jspecify.annotations.Nullable;

/**
 * The last values of several columns over a window, in constant memory, and the median of the
 * slopes between all pairs of them (Theil and Sen): of five values or more, one that is wrong does
 * not sway it. A missing value is left out. Belongs to one thread.
 */
final class Trace {
  static final int MISSING = Integer.MIN_VALUE;
  private static final int KEPT = 12;

  /** Of five values, one wrong one spoils four of ten slopes, which leaves the median right. */
  private static final int LEAST_SAMPLES = 5;

  private final int columns;
  private final long windowMs;
  private final double parts;
  private final long spacingMs;
  private final long[] times = new long[KEPT];
  private final int[] values;
  private final int[] seen = new int[KEPT];
  private final double[] slopes = new double[KEPT * (KEPT - 1) / 2];
  private final Ring ring = new Ring(KEPT);

  /** What was worked out since the last sample for the last question, one a column. */
  private final @Nullable OptionalDouble[] known;

  /** The same of what a slope is within, so far as that was asked. */
  private final double[] within;

  private long askedSpanMs;
  private int askedSteps;

  /**
   * A trace of nothing yet.
   *
   * @param windowMs holds at most 12 samples
   * @param parts so many of what is put in make one of what slopes are told in
   */
  Trace(int columns, long windowMs, double parts) {
    this.parts = parts;
    this.columns = columns;
    this.windowMs = windowMs;
    this.spacingMs = windowMs / (KEPT - 1);
    this.values = new int[KEPT * columns];
    this.known = new @Nullable OptionalDouble[columns];
    this.within = new double[columns];
    forget();
  }

  private void forget() {
    Arrays.fill(known, null);
    Arrays.fill(within, Double.POSITIVE_INFINITY);
  }

  /** Room for the next sample, or -1 when it comes too soon after the one before. */
  int slot(long ageMs) {
    if (ring.size() > 0 && ageMs - times[ring.newest(0)] < spacingMs) {
      return -1;
    }
    int at = ring.next();
    forget();
    times[at] = ageMs;
    Arrays.fill(values, at * columns, (at + 1) * columns, MISSING);
    return at;
  }

  void put(int slot, int column, int value) {
    values[slot * columns + column] = value;
  }

  void clear() {
    forget();
    ring.clear();
  }

  /**
   * Slope in units a minute over the window, or over the latest few samples where fewer lie in it;
   * empty when samples are too few or too short, or the value changed less often than asked for.
   */
  OptionalDouble slopePerMin(int column, long leastSpanMs, int leastSteps) {
    if (leastSpanMs != askedSpanMs || leastSteps != askedSteps) {
      Arrays.fill(known, null);
      askedSpanMs = leastSpanMs;
      askedSteps = leastSteps;
    }
    OptionalDouble slope = known[column];
    if (slope == null) {
      slope = slope(column, leastSpanMs, leastSteps);
      known[column] = slope;
    }
    return slope;
  }

  /**
   * True where a slope is surely no more than so much, or none is known: more than half of all
   * pairs have no more. That costs less than to sort them.
   *
   * @param perMin above 0, in units a minute
   */
  boolean isWithin(int column, double perMin) {
    if (!(within[column] <= perMin) && isMedianWithin(column, perMin)) {
      within[column] = perMin;
    }
    return within[column] <= perMin;
  }

  private boolean isMedianWithin(int column, double perMin) {
    int n = look(column);
    double perMs = perMin * parts / 60_000.0;
    int pairs = n * (n - 1) / 2;
    int more = 0;
    for (int i = 0; i < n; i++) {
      for (int j = i + 1; j < n; j++) {
        double most = perMs * (times[seen[i]] - times[seen[j]]);
        more += (double) value(column, i) - value(column, j) > most ? 1 : 0;
      }
    }
    return n < LEAST_SAMPLES || 2 * more < pairs;
  }

  private OptionalDouble slope(int column, long leastSpanMs, int leastSteps) {
    int n = look(column);
    if (n < LEAST_SAMPLES || times[seen[0]] - times[seen[n - 1]] < leastSpanMs) {
      return OptionalDouble.empty();
    }
    return steps(column, n) < leastSteps
        ? OptionalDouble.empty()
        : OptionalDouble.of(medianSlope(column, n) / parts);
  }

  /** The samples of a column that count, newest first; how many. */
  private int look(int column) {
    int n = 0;
    for (int i = 0; i < ring.size(); i++) {
      int at = ring.newest(i);
      if (times[ring.newest(0)] - times[at] > windowMs && n >= LEAST_SAMPLES) {
        break;
      }
      if (values[at * columns + column] != MISSING) {
        seen[n++] = at;
      }
    }
    return n;
  }

  private int steps(int column, int n) {
    int steps = 0;
    for (int i = 1; i < n; i++) {
      boolean isStep = value(column, i) != value(column, i - 1);
      steps += isStep ? 1 : 0;
    }
    return steps;
  }

  private int value(int column, int i) {
    return values[seen[i] * columns + column];
  }

  private double medianSlope(int column, int n) {
    int found = 0;
    for (int i = 0; i < n; i++) {
      for (int j = i + 1; j < n; j++) {
        double minutes = (times[seen[i]] - times[seen[j]]) / 60_000.0;
        slopes[found++] = ((double) value(column, i) - value(column, j)) / minutes;
      }
    }
    Arrays.sort(slopes, 0, found);
    return (slopes[(found - 1) / 2] + slopes[found / 2]) / 2;
  }

  void state(State io) {
    forget();
    ring.state(io);
    io.each(times);
    io.each(values);
  }
}
