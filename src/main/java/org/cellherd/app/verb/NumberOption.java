package org.cellherd.app.verb;

import java.util.List;
import java.util.function.Function;
import picocli.CommandLine;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Numbers on the command line, refused in words that say what would be right. */
final class NumberOption {

  private NumberOption() {}

  static void addTo(CommandLine commandLine) {
    for (Class<Integer> type : List.of(int.class, Integer.class)) {
      commandLine.registerConverter(type, number(Integer::valueOf, "a whole number"));
    }
    for (Class<Long> type : List.of(long.class, Long.class)) {
      commandLine.registerConverter(type, number(Long::valueOf, "a whole number"));
    }
    for (Class<Double> type : List.of(double.class, Double.class)) {
      commandLine.registerConverter(type, number(Double::valueOf, "a number"));
    }
  }

  private static <T> ITypeConverter<T> number(Function<String, T> parse, String right) {
    return word -> {
      try {
        return parse.apply(word);
      } catch (NumberFormatException none) {
        throw new TypeConversionException("\"" + word + "\" is not " + right);
      }
    };
  }
}
