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
    return minute(fromMs) + " to " + end + " (" + SpokenTime.length(toMs - fromMs) + ")";
  }

  /** Local date, such as {@code 4 Mar 2026}. */
  public String day(long ms) {
    return SpokenTime.day(ms, zone);
  }
}
