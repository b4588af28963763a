package org.cellherd.report;

import java.time.ZoneId;
import org.cellherd.pack.SpokenTime;

/**
 * When, where and by what a report or label is made.
 *
 * @param zone local time of the pack's owner
 * @param atMs ms UTC
 * @param program name and version
 */
public record Made(ZoneId zone, long atMs, String program) {

  /** Local time, such as {@code 4 Mar 2026 06:10}. */
  public String minute(long ms) {
    return SpokenTime.minute(ms, zone);
  }

  /** From one minute to another, such as {@code 4 Mar 2026 06:10 to 07:30 (1 h 20 min)}. */
  public String span(long fromMs, long toMs) {
    if (toMs - fromMs < 1000) {
      return minute(toMs);
    }
    String end = SpokenTime.near(toMs, fromMs, zone);
    return minute(fromMs) + " to " + end + " (" + length(toMs - fromMs) + ")";
  }

  /** Such as {@code 40 s}, {@code 25 min}, {@code 1 h 20 min}, {@code 12 days}. */
  static String length(long ms) {
    long minutes = Math.round(ms / 60_000.0);
    if (ms < 60_000) {
      return Math.round(ms / 1000.0) + " s";
    }
    if (minutes < 60) {
      return minutes + " min";
    }
    if (minutes < 48 * 60) {
      return minutes / 60 + " h" + (minutes % 60 == 0 ? "" : " " + minutes % 60 + " min");
    }
    return Math.round(minutes / 1440.0) + " days";
  }

  /** Local date, such as {@code 4 Mar 2026}. */
  public String day(long ms) {
    return SpokenTime.day(ms, zone);
  }
}
