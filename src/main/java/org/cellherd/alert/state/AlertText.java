package org.cellherd.alert.state;

import java.time.Instant;
import java.time.ZoneId;
import java.time.ZonedDateTime;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** Puts the sentences of an alert together: the same in log, messages, page and report. */
public final class AlertText {
  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT);
  private static final DateTimeFormatter DATED =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

  private AlertText() {}

  /** A time of day, with its date unless it is today. */
  public static String time(long timeMs, long nowMs, ZoneId zone) {
    ZonedDateTime time = Instant.ofEpochMilli(timeMs).atZone(zone);
    ZonedDateTime now = Instant.ofEpochMilli(nowMs).atZone(zone);
    return time.toLocalDate().equals(now.toLocalDate()) ? CLOCK.format(time) : DATED.format(time);
  }

  /** The condition holds. */
  static String standing(Words words, long sinceMs, Pulse now) {
    String since = time(sinceMs, now.timeMs(), now.zone());
    return words.what() + ", since " + since + "." + more(words);
  }

  /** The condition is gone, and how things are now, where that is known. */
  static String over(long untilMs, String valueNow, Pulse now) {
    String until = time(untilMs, now.timeMs(), now.zone());
    return "Over since " + until + (valueNow.isEmpty() ? "." : ", now " + valueNow + ".");
  }

  /** What it was at its worst. */
  static String was(Words words, long sinceMs, Pulse now) {
    String since = time(sinceMs, now.timeMs(), now.zone());
    return " It had been since " + since + ": " + lowerFirst(words.what()) + ".";
  }

  private static String more(Words words) {
    return words.more().isEmpty() ? "" : " " + words.more();
  }

  private static String lowerFirst(String text) {
    return text.isEmpty()
        ? text
        : text.substring(0, 1).toLowerCase(Locale.ROOT) + text.substring(1);
  }
}
