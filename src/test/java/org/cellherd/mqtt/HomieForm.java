package org.cellherd.mqtt;

import java.math.BigDecimal;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;

/**
 * The form of payloads, by the convention's section on payload datatypes (text of 17 October 2024).
 */
final class HomieForm {

  private static final String DATE_TIME =
      "[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}([.][0-9]+)?(Z|[+-][0-9]{2}:[0-9]{2})";

  private HomieForm() {}

  static Predicate<String> of(String datatype, Optional<String> format) {
    return switch (datatype) {
      case "float" -> text -> text.matches("-?[0-9]+([.][0-9]+)?") && isWithin(text, format);
      case "enum" -> List.of(format.orElseThrow().split(",", -1))::contains;
      case "datetime" -> text -> text.matches(DATE_TIME);
      // An empty text is one byte 0: a payload without a byte would delete the topic.
      case "string" -> text -> !text.isEmpty() && !text.startsWith("\uFEFF");
      default -> text -> false;
    };
  }

  private static boolean isWithin(String text, Optional<String> format) {
    if (format.isEmpty()) {
      return true;
    }
    String[] bounds = format.get().split(":", -1);
    BigDecimal value = new BigDecimal(text);
    return (bounds[0].isEmpty() || value.compareTo(new BigDecimal(bounds[0])) >= 0)
        && (bounds[1].isEmpty() || value.compareTo(new BigDecimal(bounds[1])) <= 0);
  }
}
