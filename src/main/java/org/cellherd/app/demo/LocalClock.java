package org.cellherd.app.demo;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Hour and minute as a clock on the wall of the simulated place shows them. */
record LocalClock(ZoneId zone) {

  private static final DateTimeFormatter HOUR = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);

  String at(long ms) {
    return HOUR.format(Instant.ofEpochMilli(ms).atZone(zone));
  }
}
