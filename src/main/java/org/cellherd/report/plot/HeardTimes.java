package org.cellherd.report.plot;

import java.util.ArrayList;
import java.util.List;

/**
 * When a pack was heard, and the holes between, also where the log names no gap, as after an
 * import. Times come in order; what lies before the newest is known already. One thread.
 */
final class HeardTimes {

  /** A hole this many times as long as the usual distance of readings is one. */
  private static final double UNUSUAL = 20;

  private static final double LEAST_MS = 60_000;

  /** Weight of the newest distance in the usual one. */
  private static final double NEWEST = 0.1;

  private final List<Tracks.Span> holes = new ArrayList<>();
  private long firstMs = Long.MAX_VALUE;
  private long lastMs = Long.MIN_VALUE;
  private double usualMs;

  /** A single reading. */
  void at(long ms) {
    if (lastMs != Long.MIN_VALUE && ms > lastMs) {
      double distance = (double) ms - lastMs;
      if (usualMs > 0 && distance > Math.max(LEAST_MS, UNUSUAL * usualMs)) {
        holes.add(new Tracks.Span(lastMs, ms));
      } else {
        usualMs = usualMs > 0 ? usualMs + NEWEST * (distance - usualMs) : distance;
      }
    }
    reach(ms, ms);
  }

  /** A stretch of which there are statistics: what lies between two stretches was not heard. */
  void between(long fromMs, long toMs) {
    if (lastMs != Long.MIN_VALUE && fromMs > lastMs) {
      holes.add(new Tracks.Span(lastMs, fromMs));
    }
    reach(fromMs, toMs);
  }

  private void reach(long fromMs, long toMs) {
    firstMs = Math.min(firstMs, fromMs);
    lastMs = Math.max(lastMs, toMs);
  }

  /** True when anything was heard. */
  boolean isAny() {
    return firstMs <= lastMs;
  }

  long firstMs() {
    return firstMs;
  }

  long lastMs() {
    return lastMs;
  }

  List<Tracks.Span> holes() {
    return List.copyOf(holes);
  }
}
