package org.cellherd.pack;

import java.time.Instant;
import java.time.LocalDate;
import java.time.ZoneId;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.time.format.ResolverStyle;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Times as people read them, local to the pack's owner; the same form in every text. */
public final class SpokenTime {

  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter SECONDS =
      DateTimeFormatter.ofPattern("d MMM uuuu HH:mm:ss", Locale.ENGLISH);
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("d MMM uuuu", Locale.ENGLISH);

  private static final Pattern PRINTED =
      Pattern.compile("(\\d{1,2} [A-Z][a-z]{2} \\d{4})(?: (\\d\\d:\\d\\d(?::\\d\\d)?))?");

  private SpokenTime() {}

  /** Such as {@code 06:10}. */
  public static String clock(long ms, ZoneId zone) {
    return CLOCK.format(Instant.ofEpochMilli(ms).atZone(zone));
  }

  /** Such as {@code 4 Mar 2026}. */
  public static String day(long ms, ZoneId zone) {
    return DAY.format(Instant.ofEpochMilli(ms).atZone(zone));
  }

  /** The same of a local date. */
  public static String day(LocalDate date) {
    return DAY.format(date);
  }

  /** Such as {@code 4 Mar 2026 06:10}. */
  public static String minute(long ms, ZoneId zone) {
    return day(ms, zone) + " " + clock(ms, zone);
  }

  /** Whose clock times are by: {@code UTC}, {@code UTC+01:00} or {@code Europe/Berlin}. */
  public static String clockOf(ZoneId zone) {
    if (zone.normalized().equals(ZoneOffset.UTC)) {
      return "UTC";
    }
    return zone instanceof ZoneOffset ? "UTC" + zone.getId() : zone.getId();
  }

  /** Such as {@code 31 Jan 2026 18:00:00}. */
  public static String second(long ms, ZoneId zone) {
    return SECONDS.format(Instant.ofEpochMilli(ms).atZone(zone));
  }

  /** The clock alone on the day of another time, else with its date. */
  public static String near(long ms, long nowMs, ZoneId zone) {
    return day(ms, zone).equals(day(nowMs, zone)) ? clock(ms, zone) : minute(ms, zone);
  }

  /** A time as it is printed here, in ISO 8601; any other text as it is. */
  public static String iso(String text) {
    Matcher printed = PRINTED.matcher(text);
    if (!printed.matches()) {
      return text;
    }
    String time = printed.group(2) == null ? "" : "T" + printed.group(2);
    return LocalDate.parse(printed.group(1), DAY.withResolverStyle(ResolverStyle.STRICT)) + time;
  }

  /** Such as {@code 40 s}, {@code 25 min}, {@code 1 h 20 min}, {@code 12 days}. */
  public static String length(long ms) {
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
    return Spoken.counted(Math.round(minutes / 1440.0), "day");
  }
}
