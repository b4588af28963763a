package org.cellherd.analysis.resistance;

import org.cellherd.analysis.state.State;

/** How much the current moved over the last 10 to 15 s. Belongs to one thread. */
final class Steadiness {
  private static final long BUCKET_MS = 5_000;
  private static final int BUCKETS = 3;

  /** So long a steady current is asked for before a step. */
  static final long LEAST_MS = 10_000;

  private final int[] low = new int[BUCKETS];
  private final int[] high = new int[BUCKETS];
  private long bucketUpMs;
  private long sinceUpMs = -1;

  void breakOff() {
    sinceUpMs = -1;
  }

  void accept(long upMs, int milliamps) {
    if (sinceUpMs < 0) {
      sinceUpMs = upMs;
      bucketUpMs = upMs;
      fill(milliamps);
    }
    if (upMs - bucketUpMs >= BUCKETS * BUCKET_MS) {
      bucketUpMs = upMs;
      int last = BUCKETS - 1;
      int lowLast = low[last];
      int highLast = high[last];
      fill(milliamps);
      low[0] = Math.min(lowLast, milliamps);
      high[0] = Math.max(highLast, milliamps);
    }
    while (upMs - bucketUpMs >= BUCKET_MS) {
      bucketUpMs += BUCKET_MS;
      shift(milliamps);
    }
    int last = BUCKETS - 1;
    low[last] = Math.min(low[last], milliamps);
    high[last] = Math.max(high[last], milliamps);
  }

  private void shift(int milliamps) {
    for (int i = 1; i < BUCKETS; i++) {
      low[i - 1] = low[i];
      high[i - 1] = high[i];
    }
    low[BUCKETS - 1] = milliamps;
    high[BUCKETS - 1] = milliamps;
  }

  private void fill(int milliamps) {
    for (int i = 0; i < BUCKETS; i++) {
      low[i] = milliamps;
      high[i] = milliamps;
    }
  }

  /** True when the current has moved by no more than this for 10 s and longer. */
  boolean isSteady(long upMs, int withinMa) {
    if (sinceUpMs < 0 || upMs - sinceUpMs < LEAST_MS) {
      return false;
    }
    int lowest = Integer.MAX_VALUE;
    int highest = Integer.MIN_VALUE;
    for (int i = 0; i < BUCKETS; i++) {
      lowest = Math.min(lowest, low[i]);
      highest = Math.max(highest, high[i]);
    }
    return (long) highest - lowest <= withinMa;
  }

  void state(State io) {
    for (int i = 0; i < BUCKETS; i++) {
      low[i] = io.number(low[i]);
      high[i] = io.number(high[i]);
    }
    bucketUpMs = io.number(bucketUpMs);
    sinceUpMs = io.number(sinceUpMs);
  }
}
