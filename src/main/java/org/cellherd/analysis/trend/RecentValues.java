package org.cellherd.analysis.trend;

import java.util.Arrays;
import org.cellherd.analysis.StateMismatch;
import org.cellherd.analysis.StateReader;
import org.cellherd.analysis.StateWriter;

/** The newest values of a stream, at most so many; constant memory. Belongs to one thread. */
public final class RecentValues {
  private final double[] ring;
  private int size;
  private int next;

  /** Keeps this many values, at least one. */
  public RecentValues(int capacity) {
    if (capacity < 1) {
      throw new IllegalArgumentException("capacity " + capacity + ", at least 1");
    }
    ring = new double[capacity];
  }

  /** Takes a value; the oldest goes when there is no room. */
  public void add(double value) {
    ring[next] = value;
    next = (next + 1) % ring.length;
    size = Math.min(size + 1, ring.length);
  }

  /** How many values are kept now. */
  public int size() {
    return size;
  }

  /** True when the next value pushes out the oldest. */
  public boolean isFull() {
    return size == ring.length;
  }

  /** The kept values, oldest first. */
  public double[] values() {
    double[] out = new double[size];
    for (int i = 0; i < size; i++) {
      out[i] = ring[Math.floorMod(next - size + i, ring.length)];
    }
    return out;
  }

  /** Median of the kept values; NaN of none. */
  public double median() {
    double[] sorted = Arrays.copyOf(ring, size);
    Arrays.sort(sorted);
    return Medians.medianOfSorted(sorted);
  }

  /** Median absolute deviation of the kept values; NaN of none. */
  public double mad() {
    return Medians.mad(values());
  }

  /** Forgets all values. */
  public void clear() {
    size = 0;
    next = 0;
  }

  /** Writes the state. */
  public void save(StateWriter out) {
    out.putDoubles(values());
  }

  /** Takes a saved state. */
  public void restore(StateReader in) {
    double[] saved = in.getDoubles();
    if (saved.length > ring.length) {
      throw new StateMismatch(saved.length + " values saved, room for " + ring.length);
    }
    clear();
    for (double value : saved) {
      add(value);
    }
  }
}
