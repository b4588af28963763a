package org.cellherd.page.past;

import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.Year;
import java.time.YearMonth;
import java.time.ZoneId;
import java.util.Optional;

/**
 * A day, a month or a year of local time.
 *
 * @param fromMs its start, ms UTC
 * @param toMs its end, ms UTC
 */
public record Span(long fromMs, long toMs) {

  private static final int FIRST_YEAR = 1970;
  private static final int LAST_YEAR = 9000;

  /** The span of {@code 2026-11-25}, {@code 2026-11} or {@code 2026}; empty for anything else. */
  public static Optional<Span> of(String text, ZoneId zone) {
    try {
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
    return from.getYear() < FIRST_YEAR || from.getYear() > LAST_YEAR
        ? Optional.empty()
        : Optional.of(new Span(ms(from, zone), ms(to, zone)));
  }

  private static long ms(LocalDate day, ZoneId zone) {
    return day.atStartOfDay(zone).toInstant().toEpochMilli();
  }
}
