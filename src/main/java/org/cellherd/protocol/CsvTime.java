package org.cellherd.protocol;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.time.zone.ZoneOffsetTransition;
import java.time.zone.ZoneRules;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Reads an ISO 8601 time with offset or Z into ms UTC, the usual form by hand for speed; with a
 * zone also times by its clock. In the hour that clocks show twice the first pass is meant until a
 * row goes back by more than half of it: the second has begun. One thread.
 */
final class CsvTime {
  private static final long DAY_MS = 86_400_000;

  /** A clock that lost its time begins at 1970, in whatever zone. */
  private static final long EARLIEST_MS = -DAY_MS;

  /** In 2106, where the seconds of 32 bits end that small computers count. */
  private static final long LATEST_MS = (1L << 32) * 1000;

  private static final String ALLOWED = "allowed: a time such as 2026-01-31T18:00:00Z";

  private static final String NO_OFFSET = "which has no offset";

  private final Optional<ZoneId> zone;
  private long millis;
  private boolean rounded;
  private String problem = ALLOWED;
  private long ambiguous;
  private @Nullable ZoneOffsetTransition secondPass;

  private int cachedDay = -1;
  private long cachedDayMs;

  CsvTime(Optional<ZoneId> zone) {
    this.zone = zone;
  }

  /** Why the last text was no time, and what would be. */
  String problem() {
    return problem;
  }

  /** True when the last text was a time but for an offset, and no zone is known. */
  boolean lacksZone() {
    return problem.startsWith(NO_OFFSET);
  }

  /** How many times lay in an hour that clocks show twice. */
  long ambiguous() {
    return ambiguous;
  }

  /** The time in ms UTC. */
  long millis() {
    return millis;
  }

  /** True when it had parts of a millisecond. */
  boolean isRounded() {
    return rounded;
  }

  boolean parse(char[] text, int from, int to) {
    problem = ALLOWED;
    if (!usual(text, from, to) && !general(text, from, to)) {
      return false;
    }
    // Other programs write such years where they know no time; one row would age the whole log.
    problem = "which no clock shows; allowed: 1970 to 2106";
    return millis >= EARLIEST_MS && millis < LATEST_MS;
  }

  private boolean local(String text) {
    LocalDateTime there = LocalDateTime.parse(text);
    if (zone.isEmpty()) {
      problem = NO_OFFSET + "; " + ALLOWED + ", or name the zone of the clock with --zone";
      return false;
    }
    ZoneRules rules = zone.get().getRules();
    ZoneOffsetTransition change = rules.getTransition(there);
    if (change != null && change.isGap()) {
      problem = "a time that clocks of " + zone.get() + " never showed: they were set forward";
      return false;
    }
    boolean isFirst = change == null || isFirstPass(there, change);
    ZoneOffset offset =
        change == null
            ? rules.getOffset(there)
            : isFirst ? change.getOffsetBefore() : change.getOffsetAfter();
    ambiguous += change == null ? 0 : 1;
    return set(there.atOffset(offset));
  }

  private boolean isFirstPass(LocalDateTime there, ZoneOffsetTransition change) {
    long first = there.toInstant(change.getOffsetBefore()).toEpochMilli();
    long half = change.getDuration().abs().toMillis() / 2;
    boolean goesBack = millis - first > half && millis < change.toEpochSecond() * 1000;
    if (goesBack || millis >= change.toEpochSecond() * 1000) {
      secondPass = change;
    }
    return !change.equals(secondPass);
  }

  private boolean set(OffsetDateTime time) {
    if (time.getYear() < 0 || time.getYear() > 9999) {
      return false;
    }
    millis = time.toInstant().toEpochMilli();
    rounded = !time.truncatedTo(ChronoUnit.MILLIS).equals(time);
    return true;
  }

  /** The form {@code 2026-01-31T18:00:00Z}, with or without milliseconds. */
  private boolean usual(char[] t, int from, int to) {
    int length = to - from;
    boolean shaped =
        (length == 20 || length == 24)
            && t[to - 1] == 'Z'
            && t[from + 4] == '-'
            && t[from + 7] == '-'
            && t[from + 10] == 'T'
            && t[from + 13] == ':'
            && t[from + 16] == ':'
            && (length == 20 || t[from + 19] == '.');
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

  private static int digits(char[] text, int from, int count) {
    int value = 0;
    for (int i = from; i < from + count; i++) {
      char c = text[i];
      if (c < '0' || c > '9') {
        return -1;
      }
      value = 10 * value + (c - '0');
    }
    return value;
  }

  private boolean general(char[] text, int from, int to) {
    if (to - from > 40) {
      return false;
    }
    String time = new String(text, from, to - from).replace(' ', 'T');
    try {
      boolean hasOffset = time.matches(".{16,}(Z|[+-][0-9]{2}(:?[0-9]{2}){0,2})");
      return hasOffset ? set(OffsetDateTime.parse(time)) : local(time);
    } catch (DateTimeException e) {
      return false;
    }
  }
}
