package org.cellherd.sim;

import java.time.LocalDate;

/**
 * An instant as the sun sees it.
 *
 * @param day days since 1970-01-01, local
 * @param hour hour of the local day, 0 to below 24
 * @param yearAngle angle in the year, 0 at New Year, rad
 */
record CalendarPlace(long day, double hour, double yearAngle) {

  private static final double DAY_MS = 86_400_000.0;

  /** The place of an instant in ms UTC at some hours ahead of UTC. */
  static CalendarPlace of(long timeMs, double utcOffsetHours) {
    double days = timeMs / DAY_MS + utcOffsetHours / 24;
    long day = (long) Math.floor(days);
    int dayOfYear = LocalDate.ofEpochDay(day).getDayOfYear();
    return new CalendarPlace(day, (days - day) * 24, 2 * Math.PI * (dayOfYear - 1) / 365.25);
  }
}
