package org.cellherd.protocol;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.OffsetDateTime;
import java.time.temporal.ChronoUnit;

/** Reads an ISO 8601 time with offset or Z into ms UTC, the usual form by hand for speed. */
final class CsvTime {
  private static final long DAY_MS = 86_400_000;

  private long millis;
  private boolean rounded;
  private int cachedDay = -1;
  private long cachedDayMs;

  /** The time in ms UTC. */
  long millis() {
    return millis;
  }

  /** True when it had parts of a millisecond. */
  boolean isRounded() {
    return rounded;
  }

  boolean parse(String text, int from, int to) {
    return usual(text, from, to) || general(text, from, to);
  }

  /** The form {@code 2026-01-31T18:00:00Z}, with or without milliseconds. */
  private boolean usual(String t, int from, int to) {
    int length = to - from;
    boolean shaped =
        (length == 20 || length == 24)
            && t.charAt(to - 1) == 'Z'
            && t.charAt(from + 4) == '-'
            && t.charAt(from + 7) == '-'
            && t.charAt(from + 10) == 'T'
            && t.charAt(from + 13) == ':'
            && t.charAt(from + 16) == ':'
            && (length == 20 || t.charAt(from + 19) == '.');
    if (!shaped) {
      return false;
    }
    int year = digits(t, from, 4);
    int month = digits(t, from + 5, 2);
    int day = digits(t, from + 8, 2);
    int hour = digits(t, from + 11, 2);
    int minute = digits(t, from + 14, 2);
    int second = digits(t, from + 17, 2);
    int milli = length == 24 ? digits(t, from + 20, 3) : 0;
    if ((year | month | day | hour | minute | second | milli) < 0
        || hour > 23
        || minute > 59
        || second > 59) {
      return false;
    }
    int key = (year * 100 + month) * 100 + day;
    if (key != cachedDay) {
      try {
        cachedDayMs = LocalDate.of(year, month, day).toEpochDay() * DAY_MS;
        cachedDay = key;
      } catch (DateTimeException e) {
        return false;
      }
    }
    millis = cachedDayMs + ((hour * 60L + minute) * 60 + second) * 1000 + milli;
    rounded = false;
    return true;
  }

  private static int digits(String text, int from, int count) {
    int value = 0;
    for (int i = from; i < from + count; i++) {
      char c = text.charAt(i);
      if (c < '0' || c > '9') {
        return -1;
      }
      value = 10 * value + (c - '0');
    }
    return value;
  }

  private boolean general(String text, int from, int to) {
    if (to - from > 40) {
      return false;
    }
    try {
      OffsetDateTime time = OffsetDateTime.parse(text.substring(from, to));
      if (time.getYear() < 0 || time.getYear() > 9999) {
        return false;
      }
      millis = time.toInstant().toEpochMilli();
      rounded = !time.truncatedTo(ChronoUnit.MILLIS).equals(time);
      return true;
    } catch (DateTimeException e) {
      return false;
    }
  }
}
