package org.cellherd.app.verb;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/**
 * Times as a clock on the wall of the simulated place shows them.
 *
 * @param isDated with the day, for what lasts longer than one
 */
record LocalClock(ZoneId zone, boolean isDated) {

  private static final DateTimeFormatter HOUR = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMM HH:mm", Locale.ENGLISH);

  String at(long ms) {
    return (isDated ? DAY : HOUR).format(Instant.ofEpochMilli(ms).atZone(zone));
  }
}
