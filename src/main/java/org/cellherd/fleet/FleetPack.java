package org.cellherd.fleet;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import java.util.stream.Stream;
import org.cellherd.json.IsoTime;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;

/**
 * A pack as the centre knows it.
 *
 * @param site whose it is
 * @param id the pack's id
 * @param chemistry word of its plan
 * @param newsMs when the centre last had news of it, ms UTC
 * @param now what its site sent last
 * @param ageing facts of its newest finding of that name; JSON's null for none
 * @param rest the same of its newest rest
 * @param days lowest and highest cell of the newest days, oldest first
 */
public record FleetPack(
    String site,
    String id,
    String chemistry,
    long newsMs,
    JsonValue now,
    JsonValue ageing,
    JsonValue rest,
    List<DayOfCells> days) {

  /** After so long without news the state is told as old: three of the longest usual pauses. */
  private static final long QUIET_MS = 2 * 3_600_000L;

  private static final JsonReader.Limits LIMITS =
      new JsonReader.Limits(1 << 20, 30, 100_000, 50_000);

  /**
   * Cells over a UTC day, 0.1 mV.
   *
   * @param startMs its beginning
   * @param low lowest of all
   * @param high highest of all
   */
  public record DayOfCells(long startMs, long low, long high) {}

  public FleetPack {
    days = List.copyOf(days);
  }

  FleetPack withDays(List<DayOfCells> known) {
    return new FleetPack(site, id, chemistry, newsMs, now, ageing, rest, known);
  }

  static JsonValue read(String json) {
    try {
      return new JsonReader(LIMITS).read(json);
    } catch (JsonReader.Problem notOurs) {
      return new JsonValue.JsonNull();
    }
  }

  /** The pack's name, or its id where it has none. */
  public String name() {
    return now.get("plan").flatMap(p -> p.text("name")).filter(n -> !n.isBlank()).orElse(id);
  }

  private Optional<JsonValue> worstAlert() {
    return now.items("alerts").stream().findFirst();
  }

  /** Priority of its worst alert, or "" without any. */
  public String worst() {
    return worstAlert().flatMap(a -> a.text("priority")).orElse("");
  }

  /** Since when that is so, ms UTC. */
  public OptionalLong sinceMs() {
    Optional<String> since =
        worstAlert().isPresent()
            ? worstAlert().flatMap(a -> a.text("since"))
            : now.get("state").flatMap(s -> s.text("since"));
    return IsoTime.ms(since.orElse(""));
  }

  /** Time of its newest entry, ms UTC. */
  public OptionalLong heardMs() {
    return NowRow.heardMs(now);
  }

  /** Why it is where it is in the list, in a sentence. */
  public String reason(long nowMs) {
    String quiet =
        nowMs - newsMs > QUIET_MS
            ? "No news from its site for " + Spoken.duration(nowMs - newsMs) + ". "
            : "";
    String state = now.get("state").flatMap(s -> s.text("state")).orElse("");
    String what =
        worstAlert()
            .flatMap(a -> a.text("text"))
            .or(() -> now.get("summary").flatMap(s -> s.text("sentence")))
            .orElse(state.isEmpty() ? silence() : "The pack is " + state + ".");
    return quiet + what;
  }

  private String silence() {
    return heardMs().isPresent()
        ? "Nothing was heard since its site was started."
        : "Nothing was heard yet.";
  }

  private Optional<JsonValue> capacity() {
    List<JsonValue> history = ageing.items("capacity_history");
    return history.isEmpty() ? Optional.empty() : Optional.of(history.get(history.size() - 1));
  }

  /** Share of its rating that the last capacity test found, %. */
  public OptionalDouble ratedPct() {
    return ageing.get("rated_pct").isPresent()
        ? ageing.number("rated_pct")
        : OptionalDouble.empty();
  }

  /** Days since it was last full. */
  public OptionalDouble daysSinceFull() {
    return now.get("summary").map(s -> s.number("days_since_full")).orElse(OptionalDouble.empty());
  }

  /** Fastest growth of a cell's lead, Ah a day, its upper bound. */
  public OptionalDouble leadGrowth() {
    return ageing.items("lead_growth").stream()
        .map(cell -> cell.number("ah_per_day_high"))
        .filter(OptionalDouble::isPresent)
        .mapToDouble(OptionalDouble::getAsDouble)
        .max();
  }

  /** Cells that leak, by the newest rest or by the growth of the leads. */
  public List<Long> leaking() {
    return Stream.concat(ageing.items("leaking").stream(), rest.items("suspects").stream())
        .map(cell -> cell.whole("cell"))
        .filter(OptionalLong::isPresent)
        .map(OptionalLong::getAsLong)
        .distinct()
        .sorted()
        .toList();
  }

  /** As {@code fleet --json} tells it. */
  public Facts facts(long nowMs) {
    Facts.Builder facts =
        Facts.of()
            .put("site", site)
            .put("pack", id)
            .put("name", name())
            .put("chemistry", chemistry)
            .put("worst", worst().isEmpty() ? null : worst())
            .put("rule", worstAlert().flatMap(a -> a.text("rule")).orElse(null))
            .put("reason", reason(nowMs));
    time(facts, "since", sinceMs());
    time(facts, "last_heard", heardMs());
    facts.putTime("last_news", newsMs);
    facts.put("open_alerts", now.items("alerts").size());
    facts.put("days_since_full", daysSinceFull(), 1);
    facts.put("capacity_ah", capacity().map(c -> c.number("ah")).orElse(OptionalDouble.empty()), 3);
    facts.put("rated_pct", ratedPct(), 1);
    facts.put("capacity_trend_pct_per_year", trend(), 2);
    facts.put("lead_growth_ah_per_day", leadGrowth(), 3);
    facts.put("leaking_cells", leaking());
    return facts.build();
  }

  /** How its capacity changes, % of the rating a year. */
  public OptionalDouble trend() {
    return ageing.get("capacity_trend_pct_per_year").isPresent()
        ? ageing.number("capacity_trend_pct_per_year")
        : OptionalDouble.empty();
  }

  private static void time(Facts.Builder facts, String name, OptionalLong ms) {
    if (ms.isPresent()) {
      facts.putTime(name, ms.getAsLong());
    } else {
      facts.putUnknown(name);
    }
  }
}
