package org.cellherd.alert.state;

import org.cellherd.analysis.state.StateReader;
import org.cellherd.analysis.state.StateWriter;

/**
 * Below critical, an alert that is raised three times within an hour is chattering: it then stands
 * until its condition has been gone for an hour.
 */
final class Chatter {
  static final long WINDOW_MS = 3_600_000;
  private static final int TIMES = 3;

  private final long[] raisedAgeMs = new long[TIMES];
  private long count;

  void raised(long ageMs) {
    raisedAgeMs[(int) (count % TIMES)] = ageMs;
    count++;
  }

  /** True when the newest three times lie within the window. */
  boolean isChattering() {
    if (count < TIMES) {
      return false;
    }
    long newest = raisedAgeMs[(int) ((count - 1) % TIMES)];
    long oldest = raisedAgeMs[(int) (count % TIMES)];
    return newest - oldest <= WINDOW_MS;
  }

  void save(StateWriter out) {
    out.putLong(count).putLongs(raisedAgeMs);
  }

  void restore(StateReader in) {
    count = in.getLong();
    long[] saved = in.getLongs();
    System.arraycopy(saved, 0, raisedAgeMs, 0, Math.min(saved.length, TIMES));
  }
}
