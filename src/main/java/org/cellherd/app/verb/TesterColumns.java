package org.cellherd.app.verb;

import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.cellherd.app.Stop;

/**
 * Where the quantities stand in a tester's file.
 *
 * @param separator between fields
 * @param time index of the column
 * @param unit of times that are plain numbers
 * @param volts indexes of columns whose sum is the pack's voltage
 * @param amps index of the column
 */
record TesterColumns(char separator, int time, TimeUnit unit, List<Integer> volts, int amps) {

  /** What may be named by {@code --column}. */
  public static final List<String> NAMES = List.of("time", "minutes", "hours", "volts", "amps");

  /** Units of plain numbers of time. */
  public enum TimeUnit {
    SECONDS(1),
    MINUTES(60),
    HOURS(3600);

    private final double seconds;

    TimeUnit(double seconds) {
      this.seconds = seconds;
    }

    double seconds() {
      return seconds;
    }
  }

  public TesterColumns {
    volts = List.copyOf(volts);
  }

  /**
   * Finds the columns of a header.
   *
   * @param named what the user called them; columns of our own export need no names
   * @throws Stop with exit code 2 when one is missing
   */
  static TesterColumns of(String file, String header, Map<String, String> named) {
    char separator = separator(header);
    List<String> fields = fields(header, separator);
    TimeUnit unit =
        named.containsKey("hours")
            ? TimeUnit.HOURS
            : named.containsKey("minutes") ? TimeUnit.MINUTES : TimeUnit.SECONDS;
    String timeName = unit.name().toLowerCase(Locale.ROOT).replace("seconds", "time");
    int time = index(file, fields, timeName, named.getOrDefault(timeName, "time"));
    int amps = index(file, fields, "amps", named.getOrDefault("amps", "current_a"));
    return new TesterColumns(separator, time, unit, volts(file, fields, named), amps);
  }

  private static List<Integer> volts(String file, List<String> fields, Map<String, String> named) {
    List<Integer> cells =
        IntStream.range(0, fields.size())
            .filter(i -> fields.get(i).matches("cell_[0-9]{1,2}_v"))
            .boxed()
            .toList();
    if (!named.containsKey("volts") && !cells.isEmpty()) {
      return cells;
    }
    return List.of(index(file, fields, "volts", named.getOrDefault("volts", "pack_v")));
  }

  private static int index(String file, List<String> fields, String what, String name) {
    int at = fields.indexOf(name);
    if (at < 0) {
      String there = String.join(", ", fields.subList(0, Math.min(20, fields.size())));
      throw Stop.usage(
          "%s:1: there is no column \"%s\"; name it with --column %s=NAME. There is: %s"
              .formatted(file, name, what, there));
    }
    return at;
  }

  private static char separator(String header) {
    for (char each : new char[] {';', '\t'}) {
      if (header.indexOf(each) >= 0) {
        return each;
      }
    }
    return ',';
  }

  /** A line's fields, without padding and quotes, and without what cannot be printed. */
  static List<String> fields(String line, char separator) {
    return Arrays.stream(line.split(Pattern.quote("" + separator), -1))
        .map(f -> f.replaceAll("[\\p{Cc}\"\ufeff]", "").strip())
        .toList();
  }
}
