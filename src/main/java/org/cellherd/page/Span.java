package org.cellherd.page;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.Year;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.Optional;

/**
 * A night, a day, a month or a year of local time, or any time between two.
 *
 * @param fromMs its start, ms UTC
 * @param toMs its end, ms UTC
 */
record Span(long fromMs, long toMs) {

  private static final int FIRST_YEAR = 1970;
  private static final int LAST_YEAR = 9000;

  private static final String NIGHT = "-night";
  private static final String TO = "..";
  private static final int DAY_LENGTH = 10;
  private static final int MOST_DAYS = 366 * 3;

  /**
   * The span of {@code 2026-11-25}, {@code 2026-11} or {@code 2026}; of {@code 2026-11-25-night}
   * from noon to noon; of {@code 2026-11-25T18:00..2026-11-26T06:00}. Empty for anything else.
   */
  public static Optional<Span> of(String text, ZoneId zone) {
    try {
      if (text.length() == DAY_LENGTH + NIGHT.length() && text.endsWith(NIGHT)) {
        LocalDateTime noon = LocalDate.parse(text.substring(0, DAY_LENGTH)).atTime(LocalTime.NOON);
        return between(noon, noon.plusDays(1), zone);
      }
      int to = text.indexOf(TO);
      if (to > 0) {
        return between(
            LocalDateTime.parse(text.substring(0, to)),
            LocalDateTime.parse(text.substring(to + TO.length())),
            zone);
      }
      return switch (text.length()) {
        case 4 -> days(Year.parse(text).atDay(1), Year.parse(text).plusYears(1).atDay(1), zone);
        case 7 -> {
          YearMonth month = YearMonth.parse(text);
          yield days(month.atDay(1), month.plusMonths(1).atDay(1), zone);
        }
        case 10 -> days(LocalDate.parse(text), LocalDate.parse(text).plusDays(1), zone);
        default -> Optional.empty();
      };
    } catch (DateTimeException noDate) {
      return Optional.empty();
    }
  }

  private static Optional<Span> days(LocalDate from, LocalDate to, ZoneId zone) {
    return isMeant(from)
        ? Optional.of(new Span(ms(from.atStartOfDay(), zone), ms(to.atStartOfDay(), zone)))
        : Optional.empty();
  }

  private static Optional<Span> between(LocalDateTime from, LocalDateTime to, ZoneId zone) {
    boolean isShort = from.plusDays(MOST_DAYS).isAfter(to);
    return isMeant(from.toLocalDate()) && isShort && ms(from, zone) < ms(to, zone)
        ? Optional.of(new Span(ms(from, zone), ms(to, zone)))
        : Optional.empty();
  }

  private static boolean isMeant(LocalDate day) {
    return day.getYear() >= FIRST_YEAR && day.getYear() <= LAST_YEAR;
  }

  private static long ms(LocalDateTime local, ZoneId zone) {
    return local.atZone(zone).toInstant().toEpochMilli();
  }
}
