package org.cellherd.app.daemon;

import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.concurrent.TimeUnit;

/**
 * Once a local day at a time of day: late after a sleep, never twice in a run, and in every day of
 * a change to or from summer time. One thread.
 */
final class MorningClock {

  /** A run that begins within this time after the hour tells what the one before may have not. */
  private static final long LATE_MS = TimeUnit.HOURS.toMillis(1);

  /** Readings come first. */
  private static final long AFTER_START_MS = TimeUnit.MINUTES.toMillis(1);

  /** No two hours of the day are further apart, also when clocks change. */
  private static final long LONGEST_DAY_MS = TimeUnit.HOURS.toMillis(26);

  private final LocalTime at;
  private final ZoneId zone;
  private final long readyMs;
  private long nextMs;

  MorningClock(LocalTime at, ZoneId zone, long startMs) {
    this.at = at;
    this.zone = zone;
    this.readyMs = startMs + AFTER_START_MS;
    this.nextMs = after(startMs - LATE_MS);
  }

  /** True once for each day. */
  boolean isDue(long nowMs) {
    if (nextMs - nowMs > LONGEST_DAY_MS) {
      // The clock was set back by days.
      nextMs = after(nowMs);
    }
    if (nowMs < nextMs || (nowMs < readyMs && nowMs > readyMs - LATE_MS)) {
      return false;
    }
    nextMs = after(nowMs);
    return true;
  }

  /**
   * The first such time of day behind an instant; a time that a day skips is told after the gap.
   */
  private long after(long ms) {
    LocalDate day = Instant.ofEpochMilli(ms).atZone(zone).toLocalDate().minusDays(1);
    while (true) {
      long next = day.atTime(at).atZone(zone).toInstant().toEpochMilli();
      if (next > ms) {
        return next;
      }
      day = day.plusDays(1);
    }
  }
}
