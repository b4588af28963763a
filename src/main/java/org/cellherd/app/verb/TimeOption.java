package org.cellherd.app.verb;

import java.time.DateTimeException;
import java.time.Duration;
import java.time.LocalDate;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneId;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.pack.SpokenTime;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/**
 * A time on the command line: {@code 2026-01-31}, {@code 2026-01-31T18:00}, the same with an offset
 * or {@code Z}, a while ago as {@code 90m}, {@code 12h}, {@code 7d}, or as times are printed:
 * {@code 31 Jan 2026 18:00:00}.
 */
final class TimeOption implements ITypeConverter<TimeOption.When> {

  private static final Pattern AGO = Pattern.compile("([0-9]{1,6})([mhd])");

  /** A time that is known once it is known what time it is and where. */
  @FunctionalInterface
  public interface When {
    /** ms UTC. */
    long resolve(long nowMs, ZoneId zone);
  }

  @Override
  public When convert(String word) {
    try {
      return read(SpokenTime.iso(word).replace(' ', 'T'));
    } catch (DateTimeException notATime) {
      throw new TypeConversionException(
          "\""
              + word
              + "\" is no time; write 2026-01-31, 2026-01-31T18:00, the same with Z or +02:00,"
              + " or a while ago as 90m, 12h, 7d");
    }
  }

  private static When read(String text) {
    Matcher ago = AGO.matcher(text);
    if (ago.matches()) {
      Duration back = DurationOption.of(Long.parseLong(ago.group(1)), ago.group(2));
      return (nowMs, zone) -> nowMs - back.toMillis();
    }
    if (text.length() == 10) {
      LocalDate day = LocalDate.parse(text);
      return (nowMs, zone) -> day.atStartOfDay(zone).toInstant().toEpochMilli();
    }
    if (text.matches(".*(Z|[+-][0-9]{2}:[0-9]{2})")) {
      long ms = OffsetDateTime.parse(text).toInstant().toEpochMilli();
      return (nowMs, zone) -> ms;
    }
    LocalDateTime local = LocalDateTime.parse(text);
    return (nowMs, zone) -> local.atZone(zone).toInstant().toEpochMilli();
  }
}
