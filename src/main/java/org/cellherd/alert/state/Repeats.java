package org.cellherd.alert.state;

import org.cellherd.alert.Priority;
import org.cellherd.analysis.state.State;

/**
 * When an alert is told again: critical ones 5, 10 and 20 min after they were raised, then every 30
 * min; others after the rule's own time, or never.
 */
final class Repeats {
  private static final long MINUTE_MS = 60_000;
  private static final long[] CRITICAL_MS = {5 * MINUTE_MS, 10 * MINUTE_MS, 20 * MINUTE_MS};
  private static final long CRITICAL_EVERY_MS = 30 * MINUTE_MS;

  private long raisedAgeMs;
  private long dueAgeMs = Long.MAX_VALUE;

  void begin(Priority priority, long everyMs, long ageMs) {
    raisedAgeMs = ageMs;
    dueAgeMs = next(priority, everyMs, ageMs);
  }

  boolean isDue(long ageMs) {
    return ageMs >= dueAgeMs;
  }

  /** The next due time lies after now: what was missed meanwhile is told once. */
  void told(Priority priority, long everyMs, long ageMs) {
    dueAgeMs = next(priority, everyMs, ageMs);
  }

  private long next(Priority priority, long everyMs, long nowMs) {
    long passed = nowMs - raisedAgeMs;
    if (priority != Priority.CRITICAL) {
      return everyMs <= 0 ? Long.MAX_VALUE : raisedAgeMs + (passed / everyMs + 1) * everyMs;
    }
    for (long at : CRITICAL_MS) {
      if (passed < at) {
        return raisedAgeMs + at;
      }
    }
    long last = CRITICAL_MS[CRITICAL_MS.length - 1];
    return raisedAgeMs + last + ((passed - last) / CRITICAL_EVERY_MS + 1) * CRITICAL_EVERY_MS;
  }

  void state(State io) {
    raisedAgeMs = io.number(raisedAgeMs);
    dueAgeMs = io.number(dueAgeMs);
  }
}
