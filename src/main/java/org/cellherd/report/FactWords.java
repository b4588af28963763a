package org.cellherd.report;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
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
          Map.entry("min", "min"),
          Map.entry("minutes", "min"),
          Map.entry("hours", "h"),
          Map.entry("days", "days"),
          Map.entry("years", "years"));

  /** Where the parts of a name do not tell people what it is. */
  private static final Map<String, String> SPOKEN =
      Map.ofEntries(
          Map.entry("c_rate", "rate, C"),
          Map.entry("mean_c_rate", "mean rate, C"),
          Map.entry("eta_h", "time to go, h"),
          Map.entry("hours", "duration, h"),
          Map.entry("minutes", "time to the limit, min"),
          Map.entry("soc_pct_low", "charge at least, %"),
          Map.entry("soc_pct_mid", "charge, %"),
          Map.entry("soc_pct_high", "charge at most, %"),
          Map.entry("voltage_tells", "voltage tells the charge"),
          Map.entry("cause_text", "what that means"),
          Map.entry("board_floor_mv", "accuracy of the board, mV"),
          Map.entry("beyond_zone_minutes", "beyond the charge zones, min"),
          Map.entry("round_trip_30d_pct", "round trip of 30 days, %"),
          Map.entry("net_7d_wh", "more in than out in 7 days, Wh"),
          Map.entry("empty_reason", "no date of empty, because"),
          Map.entry("soc_min_pct", "lowest state of charge, %"),
          Map.entry("soc_max_pct", "highest state of charge, %"),
          Map.entry("depth_pct", "depth of discharge, %"),
          Map.entry("start_kind", "full before by"),
          Map.entry("end_reason", "ended by"),
          Map.entry("bleed_source", "bleed current known from"),
          Map.entry("apart", "stood apart before"),
          Map.entry("mad_mohm", "scatter of the steps, m\u03a9"),
          Map.entry("sd_mv", "scatter, mV"),
          Map.entry("spread_by_class", "spread while"),
          Map.entry("lead_growth", "growth of the lead"));

  /** Words of results that are short for those who know. */
  private static final Map<String, String> MEANT =
      Map.of(
          "tail", "the current had faded to its tail",
          "first_cell", "the first full cell",
          "absorb_timer", "the charger's own timer");

  /** A bound of an interval, named after its unit: {@code hours_low}. */
  private static final Pattern BOUND = Pattern.compile("(.*?)_?([a-z]+)_(low|mid|high)");

  private static final Pattern RATE =
      Pattern.compile("(.*?)_?(mv|ah|ma|c|pct|mohm)_per_(min|day|h|year)((?:_low|_mid|_high)?)");

  /** Words of enums, such as {@code charge_difference}. */
  private static final Pattern ENUM_WORD = Pattern.compile("[a-z]+(_[a-z]+)+");

  private static final String UNKNOWN = "not known";

  private final Made made;

  FactWords(Made made) {
    this.made = made;
  }

  /** {@code mean_current_a} becomes {@code mean current, A}. */
  static String name(String key) {
    String spoken = SPOKEN.get(key);
    if (spoken != null) {
      return spoken;
    }
    Matcher rate = RATE.matcher(key);
    if (rate.matches()) {
      String unit = UNITS.get(rate.group(2)) + "/" + rate.group(3);
      String what = words(rate.group(1) + Objects.requireNonNullElse(rate.group(4), ""));
      return what.isBlank() ? unit : what.strip() + ", " + unit;
    }
    Matcher bound = BOUND.matcher(key);
    if (bound.matches() && UNITS.containsKey(bound.group(2))) {
      String what = words(bound.group(1) + " " + bound.group(3)).strip();
      return what + ", " + UNITS.get(bound.group(2));
    }
    int cut = key.lastIndexOf('_');
    String unit = UNITS.get(key.substring(cut + 1));
    if (unit == null) {
      return words(key);
    }
    return cut < 0 ? unit : words(key.substring(0, cut)) + ", " + unit;
  }

  private static String words(String key) {
    return key.replace('_', ' ');
  }

  /** False for what cannot be known and for empty lists. */
  static boolean isTold(@Nullable Object value) {
    return value != null
        && !(value instanceof List<?> list && list.isEmpty())
        && !(value instanceof String text && text.isEmpty())
        && !(value instanceof Facts facts
            && facts.list().stream().noneMatch(fact -> isTold(fact.value())));
  }

  /** A value in a table, where what is not known is a dash. */
  String cell(@Nullable Object value) {
    return value == null ? "\u2013" : value(value);
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
    String text = MEANT.getOrDefault(value.toString(), value.toString());
    return ENUM_WORD.matcher(text).matches() ? words(text) : text;
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
        .filter(fact -> isTold(fact.value()))
        .map(fact -> name(fact.name()) + ": " + value(fact.value()))
        .collect(Collectors.joining(", "));
  }

  /** A list of facts is a table; so are facts that hold nothing but facts. */
  static Optional<List<Facts>> rows(@Nullable Object value) {
    List<Facts> rows = new ArrayList<>();
    if (value instanceof List<?> list && !list.isEmpty()) {
      for (Object item : list) {
        if (!(item instanceof Facts facts)) {
          return Optional.empty();
        }
        rows.add(facts);
      }
      return Optional.of(rows);
    }
    if (value instanceof Facts facts && !facts.list().isEmpty()) {
      for (Fact fact : facts.list()) {
        if (!(fact.value() instanceof Facts inner)) {
          return Optional.empty();
        }
        String kind = name(fact.name());
        rows.add(Facts.of().put("kind", kind).putAll(inner).build());
      }
      return Optional.of(rows);
    }
    return Optional.empty();
  }
}
