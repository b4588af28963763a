package org.cellherd.analysis.energy;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;

/**
 * One day from local midnight to local midnight: 23 or 25 h long where daylight saving changes.
 *
 * @param date the local date
 * @param startMs its first instant, ms UTC
 * @param endMs the first instant of the next day, ms UTC
 */
record LocalDay(LocalDate date, long startMs, long endMs) {

  static LocalDay of(LocalDate date, ZoneId zone) {
    return new LocalDay(date, startMs(date, zone), startMs(date.plusDays(1), zone));
  }

  static LocalDay at(long ms, ZoneId zone) {
    return of(Instant.ofEpochMilli(ms).atZone(zone).toLocalDate(), zone);
  }

  long lengthMs() {
    return endMs - startMs;
  }

  private static long startMs(LocalDate date, ZoneId zone) {
    return date.atStartOfDay(zone).toInstant().toEpochMilli();
  }
}
