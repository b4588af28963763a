package org.cellherd.analysis.trend;

import org.cellherd.analysis.state.State;

/**
 * Where the last so many of a stream lie, for arrays of that many places side by side: the oldest
 * is overwritten. Belongs to one thread.
 */
public final class Ring {
  private final int places;
  private long count;

  /** A ring of at least one place. */
  public Ring(int places) {
    if (places < 1) {
      throw new IllegalArgumentException("a ring of " + places + " places");
    }
    this.places = places;
  }

  /** The place of one more, index from 0; what lay there is the oldest where the ring is full. */
  public int next() {
    return (int) (count++ % places);
  }

  /** How many there were in all. */
  public long count() {
    return count;
  }

  /** How many are kept. */
  public int size() {
    return (int) Math.min(count, places);
  }

  /** The place of one that is kept: 0 is the oldest, {@code size() - 1} the newest. */
  public int oldest(int i) {
    return (int) ((count - size() + i) % places);
  }

  /** The place of one that is kept: 0 is the newest. */
  public int newest(int i) {
    return oldest(size() - 1 - i);
  }

  public void clear() {
    count = 0;
  }

  /** The whole state; the arrays are the owner's. */
  public void state(State io) {
    count = io.within(count, 0, Long.MAX_VALUE / 2);
  }
}
