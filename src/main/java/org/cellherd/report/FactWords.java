package org.cellherd.report;

import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Fact;
import org.cellherd.pack.Facts;
import org.jspecify.annotations.Nullable;

/** Names and values of facts as people read them. */
final class FactWords {

  private static final Map<String, String> UNITS =
      Map.ofEntries(
          Map.entry("mv", "mV"),
          Map.entry("v", "V"),
          Map.entry("ma", "mA"),
          Map.entry("a", "A"),
          Map.entry("ah", "Ah"),
          Map.entry("wh", "Wh"),
          Map.entry("w", "W"),
          Map.entry("mohm", "m\u03a9"),
          Map.entry("pct", "%"),
          Map.entry("h", "h"),
          Map.entry("s", "s"),
          Map.entry("c", "\u00b0C"),
          Map.entry("minutes", "min"),
          Map.entry("days", "days"),
          Map.entry("years", "years"));

  private static final String UNKNOWN = "not known";

  private final Made made;

  FactWords(Made made) {
    this.made = made;
  }

  /** {@code mean_current_a} becomes {@code mean current, A}. */
  static String name(String key) {
    int cut = key.lastIndexOf('_');
    String unit = cut < 0 ? null : UNITS.get(key.substring(cut + 1));
    if (unit != null) {
      return words(key.substring(0, cut)) + ", " + unit;
    }
    String alone = UNITS.get(key);
    return alone == null || key.length() < 2 ? words(key) : alone;
  }

  private static String words(String key) {
    return key.replace('_', ' ');
  }

  /** A single value or a list of them. */
  String value(@Nullable Object value) {
    if (value == null) {
      return UNKNOWN;
    }
    if (value instanceof Fact.Time time) {
      return made.minute(time.ms());
    }
    if (value instanceof Boolean yes) {
      return yes ? "yes" : "no";
    }
    if (value instanceof Facts facts) {
      return interval(facts);
    }
    if (value instanceof List<?> list) {
      return list.isEmpty()
          ? "none"
          : list.stream().map(this::value).collect(Collectors.joining("; "));
    }
    return value instanceof Number ? JsonText.ofValue(value).replace('-', '\u2212') : plain(value);
  }

  private static String plain(Object value) {
    return value.toString();
  }

  /** {@code {low,mid,high}} becomes {@code 9 (7 to 13)}; anything else is listed. */
  private String interval(Facts facts) {
    if (facts.get("low").isPresent() && facts.get("high").isPresent()) {
      return value(facts.get("mid").orElse(null))
          + " ("
          + value(facts.get("low").orElse(null))
          + " to "
          + value(facts.get("high").orElse(null))
          + ")";
    }
    return facts.list().stream()
        .map(fact -> name(fact.name()) + ": " + value(fact.value()))
        .collect(Collectors.joining(", "));
  }

  /** True for a list of facts with the same names: a table of its own. */
  static boolean isTable(@Nullable Object value) {
    return value instanceof List<?> list
        && !list.isEmpty()
        && list.stream().allMatch(Facts.class::isInstance);
  }
}
