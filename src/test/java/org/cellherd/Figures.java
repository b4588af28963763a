package org.cellherd;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.regex.MatchResult;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonText;
import org.cellherd.json.JsonValue;
import org.cellherd.json.JsonValue.JsonArray;
import org.cellherd.json.JsonValue.JsonObject;
import org.cellherd.json.JsonValue.JsonString;
import org.cellherd.pack.Facts;

/**
 * Figures with a unit, as people read them, held against facts whose names tell their units: each
 * must be one of them, rounded to the digits shown; lower bounds may be rounded down, upper bounds
 * up.
 */
public final class Figures {

  private static final Pattern FIGURE =
      Pattern.compile(
          "(?<![\\w.])(at least |at most |up to |less than )?(?:([-\u2212]?\\d+(?:\\.\\d+)?) to )?([-\u2212+]?\\d+(?:\\.\\d+)?)[ \u00a0]"
              + "(kWh|Wh|Ah|mV|V|A|\u00b0C|%|min|h|s|days|years)\\b?(?!\\w)");

  /** Parts of a fact's name that are a unit, and what of the unit shown one of it is. */
  private static final Map<String, Map<String, Double>> UNITS =
      Map.ofEntries(
          Map.entry("kWh", Map.of("wh", 0.001)),
          Map.entry("Wh", Map.of("wh", 1.0)),
          Map.entry("Ah", Map.of("ah", 1.0)),
          Map.entry("mV", Map.of("mv", 1.0)),
          Map.entry("V", Map.of("v", 1.0, "mv", 0.001)),
          Map.entry("A", Map.of("a", 1.0)),
          Map.entry("\u00b0C", Map.of("c", 1.0)),
          Map.entry("%", Map.of("pct", 1.0)),
          Map.entry("s", Map.of("s", 1.0, "min", 60.0)),
          Map.entry("min", Map.of("min", 1.0, "minutes", 1.0, "h", 60.0, "hours", 60.0)),
          Map.entry(
              "h",
              Map.of("h", 1.0, "hours", 1.0, "minutes", 1 / 60.0, "min", 1 / 60.0, "days", 24.0)),
          Map.entry("days", Map.of("days", 1.0)),
          Map.entry("years", Map.of("years", 1.0)));

  private static final Pattern LOW = Pattern.compile("low|least|min_|offset|early");
  private static final Pattern HIGH = Pattern.compile("high|most|up to|less than|max_|offset|late");

  private static final double MS_PER_H = 3_600_000;

  private static final double HALF_S_H = 0.5 / 3600;

  /** Decimals are not exact in a double. */
  private static final double EXACT = 1e-9;

  /** What has lasted is told by the units that are over. */
  private static final List<String> ELAPSED = List.of("h", "low");

  private record Fact(List<String> path, double value, double halfDigit) {}

  private final List<Fact> facts = new ArrayList<>();
  private final long nowMs;

  /** Knows nothing yet; how long ago a time among the facts is counts for a fact, too. */
  public Figures(long nowMs) {
    this.nowMs = nowMs;
  }

  /** Also takes these facts for known. */
  public Figures and(Facts more) {
    return and(JsonText.of(more));
  }

  /** Also takes the facts of a JSON text for known. */
  public Figures and(String json) {
    try {
      collect(
          List.of(),
          new JsonReader(new JsonReader.Limits(9_000_000, 20, 500_000, 90_000)).read(json));
      return this;
    } catch (JsonReader.Problem problem) {
      throw new AssertionError(problem);
    }
  }

  private void collect(List<String> path, JsonValue value) {
    if (value instanceof JsonObject object) {
      object.members().forEach((name, inner) -> collect(joined(path, name), inner));
    } else if (value instanceof JsonArray array) {
      array.items().forEach(item -> collect(path, item));
    } else if (value instanceof JsonString text) {
      IsoTime.ms(text.value())
          .ifPresent(ms -> facts.add(new Fact(ELAPSED, (nowMs - ms) / MS_PER_H, HALF_S_H)));
    } else {
      value.number("").ifPresent(n -> facts.add(new Fact(path, n, halfDigit(n))));
    }
  }

  private static List<String> joined(List<String> path, String name) {
    List<String> longer = new ArrayList<>(path);
    longer.addAll(List.of(name.split("_")));
    return longer;
  }

  private static double halfDigit(double n) {
    String text = Double.toString(n);
    return text.endsWith(".0") ? 0.05 : 0.5 * Math.pow(10, text.indexOf('.') + 1 - text.length());
  }

  /** The figures of a text that no fact is behind. */
  public List<String> unknownIn(String text) {
    List<String> unknown = new ArrayList<>();
    Matcher each = FIGURE.matcher(text);
    while (each.find()) {
      MatchResult found = each.toMatchResult();
      for (String figure : Arrays.asList(found.group(2), found.group(3))) {
        if (figure != null && !isKnown(found, figure)) {
          unknown.add(figure + " " + found.group(4) + " in: " + text);
        }
      }
    }
    return unknown;
  }

  private boolean isKnown(MatchResult found, String figure) {
    String bound = found.group(1) == null ? "" : found.group(1);
    return facts.stream()
        .anyMatch(fact -> isRounded(fact, bound, figure.replace('\u2212', '-'), found.group(4)));
  }

  private static boolean isRounded(Fact fact, String bound, String figure, String unit) {
    double shown = Math.abs(Double.parseDouble(figure));
    int point = figure.indexOf('.');
    double digit = point < 0 ? 1 : Math.pow(10, point + 1 - figure.length());
    String name = bound + String.join("_", fact.path());
    // Upper bounds are rounded up, in the fact and again when they are shown; lower ones down.
    int up = HIGH.matcher(name).find() ? 2 : 1;
    int down = LOW.matcher(name).find() ? 2 : 1;
    return UNITS.getOrDefault(unit, Map.of()).entrySet().stream()
        .filter(known -> fact.path().contains(known.getKey()))
        .anyMatch(
            known -> {
              double value = Math.abs(fact.value()) * known.getValue();
              double slack = fact.halfDigit() * known.getValue();
              return shown - value <= up * digit / 2 + down * slack + EXACT
                  && value - shown <= down * digit / 2 + up * slack + EXACT;
            });
  }
}
