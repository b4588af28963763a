package org.cellherd.app.verb;

import java.time.Duration;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.pack.Spoken;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** By how much a clock was wrong, exactly: {@code -2h}, {@code 1h30min}, {@code -14610d}. */
final class OffsetOption implements ITypeConverter<Duration> {

  private static final Pattern PART = Pattern.compile("([0-9]{1,7})(ms|s|min|m|h|d)");
  private static final Pattern FORM = Pattern.compile("[+-]?(" + PART.pattern() + ")+");

  @Override
  public Duration convert(String text) {
    if (!FORM.matcher(text).matches()) {
      throw new TypeConversionException(
          "\"" + text + "\" is no offset; write -2h, 1h30min, -14610d or 90s");
    }
    Duration sum = Duration.ZERO;
    Matcher part = PART.matcher(text);
    while (part.find()) {
      sum = sum.plus(DurationOption.of(Long.parseLong(part.group(1)), part.group(2)));
    }
    return text.startsWith("-") ? sum.negated() : sum;
  }

  /** The same exactly in words: 1 h 30 min later. */
  static String text(long offsetMs) {
    return Spoken.exactly(Math.abs(offsetMs)) + (offsetMs < 0 ? " earlier" : " later");
  }
}
