package org.cellherd.alert.scene;

import java.util.Arrays;
import java.util.OptionalDouble;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

/**
 * The last values of several columns over a window, in constant memory, and their least-squares
 * slopes. A missing value makes its column's slope unknown until it has left the window.
 */
final class Trace {
  static final int MISSING = Integer.MIN_VALUE;
  private static final int KEPT = 64;
  private static final int LEAST_SAMPLES = 4;

  private final int columns;
  private final long windowMs;
  private final long spacingMs;
  private final long[] times = new long[KEPT];
  private final int[] values;
  private int count;
  private int next;

  /** Columns and window; a window holds at most 64 samples. */
  Trace(int columns, long windowMs) {
    this.columns = columns;
    this.windowMs = windowMs;
    this.spacingMs = windowMs / (KEPT - 1);
    this.values = new int[KEPT * columns];
  }

  /** Room for the next sample, or -1 when it comes too soon after the one before. */
  int slot(long ageMs) {
    if (count > 0 && ageMs - times[last()] < spacingMs) {
      return -1;
    }
    int at = next;
    times[at] = ageMs;
    Arrays.fill(values, at * columns, (at + 1) * columns, MISSING);
    next = (next + 1) % KEPT;
    count = Math.min(KEPT, count + 1);
    return at;
  }

  void put(int slot, int column, int value) {
    values[slot * columns + column] = value;
  }

  void clear() {
    count = 0;
    next = 0;
  }

  private int last() {
    return (next + KEPT - 1) % KEPT;
  }

  /**
   * Slope in units a minute over the window, or over the latest few samples where fewer lie in it;
   * empty when samples are too few, too short or missing.
   */
  OptionalDouble slopePerMin(int column, long leastSpanMs) {
    double n = 0;
    double st = 0;
    double sv = 0;
    double stt = 0;
    double stv = 0;
    if (count == 0) {
      return OptionalDouble.empty();
    }
    long newest = times[last()];
    long oldest = newest;
    for (int i = 0; i < count; i++) {
      int at = (next + KEPT - 1 - i) % KEPT;
      if (newest - times[at] > windowMs && n >= LEAST_SAMPLES) {
        break;
      }
      int value = values[at * columns + column];
      if (value == MISSING) {
        return OptionalDouble.empty();
      }
      oldest = times[at];
      double t = (oldest - newest) / 60_000.0;
      n++;
      st += t;
      sv += value;
      stt += t * t;
      stv += t * value;
    }
    double spread = n * stt - st * st;
    if (n < LEAST_SAMPLES || newest - oldest < leastSpanMs || spread <= 0) {
      return OptionalDouble.empty();
    }
    return OptionalDouble.of((n * stv - st * sv) / spread);
  }

  /** How many times a column's value changed within the window. */
  int steps(int column) {
    int steps = 0;
    for (int i = 1; i < count; i++) {
      int at = (next + KEPT - 1 - i) % KEPT;
      int after = (at + 1) % KEPT;
      if (times[last()] - times[at] > windowMs) {
        break;
      }
      if (values[at * columns + column] != values[after * columns + column]) {
        steps++;
      }
    }
    return steps;
  }

  void save(StateWriter out) {
    out.putLong(count).putLong(next).putLongs(times).putLong(values.length);
    for (int value : values) {
      out.putLong(value);
    }
  }

  void restore(StateReader in) {
    int savedCount = in.getInt();
    int savedNext = in.getInt();
    long[] savedTimes = in.getLongs();
    int width = in.getInt();
    boolean fits =
        savedCount >= 0
            && savedCount <= KEPT
            && savedNext >= 0
            && savedNext < KEPT
            && savedTimes.length == KEPT
            && width == values.length;
    if (!fits) {
      throw new StateMismatch("a trace of another size");
    }
    count = savedCount;
    next = savedNext;
    System.arraycopy(savedTimes, 0, times, 0, KEPT);
    for (int i = 0; i < width; i++) {
      values[i] = in.getInt();
    }
  }
}
