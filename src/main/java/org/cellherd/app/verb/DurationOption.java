package org.cellherd.app.verb;

import java.time.Duration;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** A length of time on the command line: {@code 30s}, {@code 5min}, {@code 1h}, {@code 1d}. */
final class DurationOption implements ITypeConverter<Duration> {

  private static final Pattern FORM = Pattern.compile("([1-9][0-9]{0,5})(s|m|min|h|d)");

  @Override
  public Duration convert(String text) {
    Matcher form = FORM.matcher(text);
    if (!form.matches()) {
      throw new TypeConversionException(
          "\"" + text + "\" is no length of time; write 30s, 5min, 1h or 1d");
    }
    return of(Long.parseLong(form.group(1)), form.group(2));
  }

  /** So many of a unit: {@code ms}, {@code s}, {@code m}, {@code min}, {@code h} or {@code d}. */
  static Duration of(long count, String unit) {
    return switch (unit) {
      case "ms" -> Duration.ofMillis(count);
      case "s" -> Duration.ofSeconds(count);
      case "h" -> Duration.ofHours(count);
      case "d" -> Duration.ofDays(count);
      default -> Duration.ofMinutes(count);
    };
  }
}
