package org.cellherd.app.verb;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Times as people read them beside the log: of the pack's zone, to the second. JSON has UTC. */
final class LocalTime {

  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("uuuu-MM-dd HH:mm:ss", Locale.ROOT);

  private LocalTime() {}

  /**
   * Such as {@code 2026-01-31 18:00:00}.
   *
   * @param timeMs ms UTC
   */
  static String of(long timeMs, ZoneId zone) {
    return SECONDS.format(Instant.ofEpochMilli(timeMs).atZone(zone));
  }
}
