package org.cellherd.app.verb;

import java.io.BufferedReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.NavigableMap;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.TreeMap;
import java.util.regex.Pattern;
import java.util.stream.IntStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.Priority;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.json.JsonValue.JsonReal;
import org.cellherd.json.JsonValue.JsonWhole;

/**
 * What is really so in a pack of the population.
 *
 * @param root its file {@code truth.json}
 * @param lowestMv its lowest cell as the board printed it, by ms UTC: the truth has extremes of the
 *     whole log only
 */
record PackTruth(JsonValue root, NavigableMap<Long, Double> lowestMv) {
  private static final JsonReader.Limits LIMITS =
      new JsonReader.Limits(50_000_000, 20, 1000, 5_000_000);

  /** Error of an input (3 mV at most), its noise, and what a cell moves between two rows. */
  private static final double CELL_SLACK_MV = 15;

  private static final double NEVER_FULL_DAYS = 14;
  private static final double UNEQUAL_MV = 60;

  /** A board prints nothing below this that a living cell has. */
  private static final double EMPTY_CELL_MV = 500;

  /**
   * So near its cut-off under load a cell holds nothing that a night could live on: past the knee
   * of iron phosphate that is less than a hundredth of its charge (common practice, no source).
   */
  private static final double EMPTY_ABOVE_CUT_MV = 250;

  /** By so much the forecast of a sunrise may be early or late. */
  private static final long SUN_SLACK_MS = 1_800_000;

  private static final long DAY_MS = 86_400_000;
  private static final long EVENING_MS = 17 * 3_600_000L;
  private static final long NIGHT_MS = 15 * 3_600_000L;

  private static final Pattern CELL = Pattern.compile("cell_\\d+_v");

  /** Reads a pack's folder. */
  static PackTruth read(Path folder) throws IOException {
    Path file = folder.resolve("truth.json");
    try {
      return new PackTruth(
          new JsonReader(LIMITS).read(Files.readAllBytes(file)),
          lowest(folder.resolve("readings.csv")));
    } catch (JsonReader.Problem problem) {
      throw new IOException(file + ": " + problem.getMessage(), problem);
    }
  }

  private static NavigableMap<Long, Double> lowest(Path csv) throws IOException {
    NavigableMap<Long, Double> lowest = new TreeMap<>();
    try (BufferedReader rows = Files.newBufferedReader(csv)) {
      List<String> names = List.of(rows.readLine().split(",", -1));
      int[] cells =
          IntStream.range(0, names.size())
              .filter(i -> CELL.matcher(names.get(i)).matches())
              .toArray();
      int at = names.indexOf("time");
      for (String row = rows.readLine(); row != null; row = rows.readLine()) {
        String[] values = row.split(",", -1);
        OptionalDouble volts =
            IntStream.of(cells)
                .filter(i -> !values[i].isEmpty())
                .mapToDouble(i -> Double.parseDouble(values[i]))
                .min();
        volts.ifPresent(v -> lowest.put(time(Optional.of(values[at])), 1000 * v));
      }
    }
    return lowest;
  }

  /** The days of the log. */
  double days() {
    return (time(root.text("to")) - time(root.text("from"))) / 86_400_000.0;
  }

  private static long time(Optional<String> iso) {
    return OffsetDateTime.parse(iso.orElseThrow()).toInstant().toEpochMilli();
  }

  private JsonValue drawn() {
    return root.get("drawn").orElseThrow();
  }

  private double drawn(String name) {
    return drawn().number(name).orElseThrow();
  }

  private double extreme(String name, int which) {
    return number(root.get("extremes").orElseThrow().items(name).get(which));
  }

  private static double number(JsonValue value) {
    return value instanceof JsonReal real ? real.value() : ((JsonWhole) value).value();
  }

  /** True when the alert may be told of this pack: it is so, or the charger really does it. */
  boolean bears(Alert alert) {
    return switch (alert.key().rule().word()) {
      case "cell-high" -> highest() >= limitMv(alert) - CELL_SLACK_MV;
      case "runner" -> highest() >= limitMv(alert) - CELL_SLACK_MV || isUnequal(alert, UNEQUAL_MV);
      case "spread" -> isUnequal(alert, alert.limit() - CELL_SLACK_MV);
      case "cell-low" -> lowest() <= alert.limit() + CELL_SLACK_MV;
      case "limit-ahead" -> nearsLimit(alert);
      case "bounce" -> endsByLimit();
      case "hot" -> extreme("temp_c", 1) >= alert.limit() - 1;
      case "cold", "cold-charge", "cold-morning" -> extreme("temp_c", 0) <= alert.limit() + 1;
      case "charge-zone" -> true;
      case "never-full" -> longestWithoutFullDays(alert.timeMs()) >= NEVER_FULL_DAYS;
      case "stored-low" ->
          alert.priority() == Priority.NOTE || lowest() <= 1000 * drawn("cut_v") + 200;
      case "empty-ahead" -> isEmptyBeforeSun(alert);
      case "leak" -> drawn("leak_cell") == alert.key().cell();
      case "imbalance" -> isNotGettingBetter(alert);
      case "implausible" ->
          (alert.text().contains("current") && hasOffset())
              || (alert.text().contains("add up") && isOneTapOff())
              || (alert.text().contains("dead or shorted") && lowest() < EMPTY_CELL_MV);
      case "resistance" -> drawn("strap_cell") == alert.key().cell();
      default -> false;
    };
  }

  private double highest() {
    return 1000 * extreme("cell_v", 1);
  }

  private double lowest() {
    return 1000 * extreme("cell_v", 0);
  }

  /** The limit that the alert speaks of: a runner's is in its evidence. */
  private static double limitMv(Alert alert) {
    return alert.evidence().number("limit_mv").orElse(alert.limit());
  }

  /** A cell came to the limit, or to where the board ended what would have brought it there. */
  private boolean nearsLimit(Alert alert) {
    double limit = alert.evidence().number("limit_mv").orElse(Double.NaN);
    return limit > 1000 * drawn("charge_v") - 300
        ? highest() >= Math.min(limit, 1000 * drawn("trip_v")) - CELL_SLACK_MV
        : lowest() <= Math.max(limit, 1000 * drawn("cut_v")) + CELL_SLACK_MV;
  }

  /** Of a night that the log does not show to its end nothing can be said. */
  private boolean isEmptyBeforeSun(Alert alert) {
    double hours = alert.evidence().number("hours_to_sun").orElseThrow();
    long sunMs = alert.timeMs() + Math.round(3_600_000 * hours) + SUN_SLACK_MS;
    double emptyMv = 1000 * drawn("cut_v") + EMPTY_ABOVE_CUT_MV;
    return lowestMv.lastKey() < sunMs
        || lowestMv.subMap(alert.timeMs(), sunMs).values().stream().anyMatch(mv -> mv <= emptyMv);
  }

  /**
   * A night.
   *
   * @param fromMs its evening, ms UTC
   * @param emptyMs when a cell came to its end, ms UTC; the end of the night where none did
   * @param isEmpty one did
   */
  record Night(long fromMs, long emptyMs, boolean isEmpty) {}

  /** Each that the log shows whole and that the pack did not begin empty, in order. */
  List<Night> nights() {
    double emptyMv = 1000 * drawn("cut_v") + EMPTY_ABOVE_CUT_MV;
    List<Night> nights = new ArrayList<>();
    long day = Math.floorDiv(lowestMv.firstKey(), DAY_MS) * DAY_MS;
    for (long from = day + EVENING_MS; from + NIGHT_MS < lowestMv.lastKey(); from += DAY_MS) {
      NavigableMap<Long, Double> night = lowestMv.subMap(from, true, from + NIGHT_MS, false);
      if (from < lowestMv.firstKey()
          || night.isEmpty()
          || night.firstEntry().getValue() <= emptyMv) {
        continue;
      }
      OptionalLong empty =
          night.entrySet().stream()
              .filter(e -> e.getValue() <= emptyMv)
              .mapToLong(Map.Entry::getKey)
              .findFirst();
      nights.add(new Night(from, empty.orElse(from + NIGHT_MS), empty.isPresent()));
    }
    return nights;
  }

  /** The true spread within an hour of it, of which the truth holds one value an hour. */
  private boolean isUnequal(Alert alert, double leastMv) {
    return root.items("lead").stream()
        .filter(h -> Math.abs(time(h.text("at")) - alert.timeMs()) <= 3_600_000)
        .anyMatch(h -> h.number("spread_mv").orElse(0) >= leastMv);
  }

  private boolean hasOffset() {
    return Math.abs(drawn("current_offset_a")) > 0;
  }

  private boolean isOneTapOff() {
    return drawn().text("tap_kind").orElse("").equals("single");
  }

  private boolean endsByLimit() {
    return root.items("full").stream().anyMatch(f -> f.text("by").orElse("").equals("limit"));
  }

  private double longestWithoutFullDays(long untilMs) {
    long last = time(root.text("from"));
    for (JsonValue full : root.items("full")) {
      long at = time(full.text("at"));
      last = at <= untilMs ? Math.max(last, at) : last;
    }
    return (untilMs - last) / 86_400_000.0;
  }

  /**
   * Stalled is untrue where the greatest lead fell by a fifth from its greatest, or by a twentieth
   * within three hours; drifting apart, where it did not grow by a hundredth from its least.
   */
  private boolean isNotGettingBetter(Alert alert) {
    long atMs = alert.timeMs();
    double least = Double.MAX_VALUE;
    double most = 0;
    double before = 0;
    double now = 0;
    for (JsonValue hour : root.items("lead")) {
      long at = time(hour.text("at"));
      if (at > atMs + 3_600_000) {
        break;
      }
      now = greatest(hour.items("ah"));
      most = Math.max(most, now);
      least = Math.min(least, now);
      before = at <= atMs - 3 * 3_600_000L ? now : before;
    }
    boolean shrinks = now < 0.8 * most || (before > 0 && now < 0.95 * before);
    return alert.text().contains("stalled") ? !shrinks : now > 1.01 * least;
  }

  private static double greatest(List<JsonValue> ah) {
    return ah.stream().mapToDouble(PackTruth::number).max().orElse(0);
  }
}
