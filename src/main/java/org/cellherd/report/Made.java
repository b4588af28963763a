package org.cellherd.report;

import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/**
 * When, where and by what a report or label is made.
 *
 * @param zone local time of the pack's owner
 * @param atMs ms UTC
 * @param program name and version
 */
public record Made(ZoneId zone, long atMs, String program) {

  private static final DateTimeFormatter MINUTE =
      DateTimeFormatter.ofPattern("d MMM uuuu HH:mm", Locale.ENGLISH);
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("uuuu-MM-dd", Locale.ROOT);

  /** Local time, such as {@code 4 Mar 2026 06:10}. */
  public String minute(long ms) {
    return MINUTE.format(Instant.ofEpochMilli(ms).atZone(zone));
  }

  /** Local date, such as {@code 2026-03-04}. */
  public String day(long ms) {
    return DAY.format(Instant.ofEpochMilli(ms).atZone(zone));
  }
}
