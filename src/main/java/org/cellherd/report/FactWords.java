package org.cellherd.report;

import java.time.LocalDate;
import java.util.ArrayList;
import java.util.Arrays;
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
import org.cellherd.pack.SpokenTime;
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
          Map.entry("mean_crate", "mean rate, C"),
          Map.entry("eta_h", "time to go, h"),
          Map.entry("hours", "duration, h"),
          Map.entry("minutes", "time to the limit, min"),
          Map.entry("voltage_tells", "voltage tells the charge"),
          Map.entry("cause_text", "what that means"),
          Map.entry("board_floor_mv", "accuracy of the board, mV"),
          Map.entry("beyond_zone_minutes", "beyond the charge zones, min"),
          Map.entry("round_trip_30d_pct", "round trip of 30 days, %"),
          Map.entry("net_7d_wh", "more in than out in 7 days, Wh"),
          Map.entry("net_7d_wh_low", "more in than out in 7 days at least, Wh"),
          Map.entry("net_7d_wh_high", "more in than out in 7 days at most, Wh"),
          Map.entry("empty_on_early", "empty at the earliest on"),
          Map.entry("empty_on_late", "empty at the latest on"),
          Map.entry("empty_reason", "no date of empty, because"),
          Map.entry("soc_min_pct", "lowest state of charge, %"),
          Map.entry("soc_max_pct", "highest state of charge, %"),
          Map.entry("depth_pct", "depth of discharge, %"),
          Map.entry("start_kind", "full before by"),
          Map.entry("end_reason", "ended by"),
          Map.entry("end", "ended by"),
          Map.entry("end_mv", "lowest cell at the end, mV"),
          Map.entry("end_lag_mv", "below the median at the end, mV"),
          Map.entry("rest_current_a", "current reported at rest, A"),
          Map.entry("rest_minutes", "pauses, min"),
          Map.entry("since_first", "against the first comparable test"),
          Map.entry("since_previous", "against the test before"),
          Map.entry("other_rate", "against a test at another rate"),
          Map.entry("bleed_source", "bleed current known from"),
          Map.entry("apart", "stood apart before"),
          Map.entry("left_apart", "stood apart at its end"),
          Map.entry("costs_5_pct", "until imbalance costs 5 % of the capacity"),
          Map.entry("days_to_5_pct_low", "5 % lost in at least, days"),
          Map.entry("days_to_5_pct_high", "5 % lost in at most, days"),
          Map.entry("rated_pct", "share of the rated capacity, %"),
          Map.entry("to_pct", "down to, %"),
          Map.entry("depth_to_pct", "depth up to, %"),
          Map.entry("life_basis", "life left estimated from"),
          Map.entry("in_trend", "counts for the trend"),
          Map.entry("capacity_left_early_level_at", "capacity left its early level"),
          Map.entry("used_cycles_trade_low", "cycles used so far by the rule of thumb, at least"),
          Map.entry("used_cycles_trade_high", "cycles used so far by the rule of thumb, at most"),
          Map.entry("anchor", "counted from"),
          Map.entry("anchor_at", "counted since"),
          Map.entry("coverage_pct", "heard, %"),
          Map.entry("wh_of_cells", "by the sum of the cells, Wh"),
          Map.entry("wh_by", "energy counted with"),
          Map.entry("path_mohm", "resistance between cells and terminals, m\u03a9"),
          Map.entry("se_mv_per_day", "standard error, mV/day"),
          Map.entry("mad_mohm", "scatter of the steps, m\u03a9"),
          Map.entry("sd_mv", "scatter, mV"),
          Map.entry("spread_by_class", "spread while"),
          Map.entry("lead_growth", "growth of the lead"));

  /** Parts of a name that are written short, or mean a bound. */
  private static final Map<String, String> PARTS =
      Map.ofEntries(
          Map.entry("low", "at least"),
          Map.entry("mid", "best estimate"),
          Map.entry("high", "at most"),
          Map.entry("soc", "state of charge"),
          Map.entry("temp", "temperature"),
          Map.entry("ah", "Ah"),
          Map.entry("25c", "25 \u00b0C"),
          Map.entry("peukert", "Peukert's"),
          Map.entry("k", "exponent"));

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

  /** A date as results have it. */
  private static final Pattern DATE = Pattern.compile("\\d{4}-\\d\\d-\\d\\d");

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
    return Arrays.stream(key.replace('_', ' ').split(" "))
        .map(part -> PARTS.getOrDefault(part, part))
        .collect(Collectors.joining(" "));
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
    if (DATE.matcher(text).matches()) {
      return SpokenTime.day(LocalDate.parse(text));
    }
    return ENUM_WORD.matcher(text).matches() ? text.replace('_', ' ') : text;
  }

  /** {@code {low,mid,high}} becomes {@code 9 (7 to 13)}; anything else is listed. */
  private String interval(Facts facts) {
    if (isInterval(facts)) {
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

  /** Facts with tables or facts within, which no line can hold. */
  static Optional<Facts> parts(@Nullable Object value) {
    return value instanceof Facts facts
            && rows(facts).isEmpty()
            && facts.list().stream()
                .anyMatch(f -> f.value() instanceof Facts || rows(f.value()).isPresent())
        ? Optional.of(facts)
        : Optional.empty();
  }

  private static boolean isInterval(Facts facts) {
    return facts.get("low").isPresent() && facts.get("high").isPresent();
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
      return Optional.of(sameColumns(rows));
    }
    if (value instanceof Facts facts && !facts.list().isEmpty()) {
      for (Fact fact : facts.list()) {
        if (!(fact.value() instanceof Facts inner)) {
          return Optional.empty();
        }
        String kind = name(fact.name());
        rows.add(Facts.of().put("kind", kind).putAll(inner).build());
      }
      return Optional.of(sameColumns(rows));
    }
    return Optional.empty();
  }

  /** What a row leaves out is not known in it: every value stands below its name. */
  private static List<Facts> sameColumns(List<Facts> rows) {
    List<String> names =
        rows.stream().flatMap(row -> row.list().stream()).map(Fact::name).distinct().toList();
    return rows.stream()
        .map(
            row ->
                new Facts(names.stream().map(n -> new Fact(n, row.get(n).orElse(null))).toList()))
        .toList();
  }
}
