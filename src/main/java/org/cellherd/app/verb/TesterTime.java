package org.cellherd.app.verb;

import java.time.DateTimeException;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Times as testers print them, in seconds from any beginning. */
final class TesterTime {

  private static final Pattern CLOCK =
      Pattern.compile(
          "(?:([0-9]{1,4})[d ] ?)?([0-9]{1,5}):([0-5][0-9]):([0-5][0-9](?:\\.[0-9]+)?)");

  private static final int LONGEST = 40;

  private TesterTime() {}

  /** True for a date with its time of day. */
  static boolean isDate(String text) {
    return text.matches("[0-9]{4}-.*");
  }

  /** Seconds of a date since 1970, of {@code 1d 02:03:04} or of a number; empty for else. */
  static OptionalDouble seconds(String text, TesterColumns.TimeUnit unit) {
    if (text.length() > LONGEST) {
      return OptionalDouble.empty();
    }
    if (isDate(text)) {
      return date(text.replace(' ', 'T'));
    }
    Matcher clock = CLOCK.matcher(text.replace(',', '.'));
    if (clock.matches()) {
      double days = clock.group(1) == null ? 0 : Double.parseDouble(clock.group(1));
      return OptionalDouble.of(
          ((days * 24 + Double.parseDouble(clock.group(2))) * 60
                      + Double.parseDouble(clock.group(3)))
                  * 60
              + Double.parseDouble(clock.group(4)));
    }
    OptionalDouble number = TesterCsv.number(text);
    return number.isPresent() ? OptionalDouble.of(number.getAsDouble() * unit.seconds()) : number;
  }

  private static OptionalDouble date(String text) {
    try {
      boolean hasOffset = text.matches(".{11,}(Z|[+-][0-9]{2}:?[0-9]{2})");
      Instant at =
          hasOffset
              ? OffsetDateTime.parse(text).toInstant()
              : LocalDateTime.parse(text).toInstant(ZoneOffset.UTC);
      return OptionalDouble.of(at.toEpochMilli() / 1000.0);
    } catch (DateTimeException noDate) {
      return OptionalDouble.empty();
    }
  }
}
