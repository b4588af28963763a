package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.json.JsonValue.JsonArray;
import org.cellherd.json.JsonValue.JsonObject;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Keys that other people's scripts rest on: every verb's JSON has them, with their units, on a log
 * that knows something. More keys may come; none of these may go.
 */
class PromisedKeysTest {
  private static final JsonReader JSON =
      new JsonReader(new JsonReader.Limits(1 << 20, 20, 1_000, 50_000));

  @TempDir private static Path folder;

  @BeforeAll
  static void logsAreImported() throws IOException {
    log("crate", "capacity-test", 4, 6, 27, 12, 10);
    log("shelf", "shelf-rest", 8, 2, 50, 120, 60);
  }

  private static void log(
      String id, String scenario, int series, int parallel, int ratedAh, int hours, int pollS)
      throws IOException {
    Files.writeString(
        folder.resolve(id + ".toml"),
        String.format(
            """
            [[pack]]
            id = "%s"
            chemistry = "lfp"
            series = %d
            parallel = %d
            rated_ah = %d
            charge_mv = %d
            """,
            id, series, parallel, ratedAh, 3_500 * series));
    String text =
        Scenarios.text(scenario)
            .orElseThrow()
            .replaceFirst("(?m)^hours = .*", "hours = " + hours)
            .replaceFirst("(?m)^step_s = .*\n", "")
            .replaceFirst("(?m)^poll_s = .*", "step_s = 10\npoll_s = " + pollS);
    Scenario played = Scenario.read(scenario, text, new Problems()).orElseThrow();
    List<String> lines = ScenarioCsv.lines(played, series, ",temp_1_c");
    Path csv = Files.write(folder.resolve(id + ".csv"), lines);
    run(id, "import", csv.toString());
  }

  private static String run(String id, String... more) {
    List<String> args = new ArrayList<>(List.of(more));
    args.addAll(List.of("--plan", folder.resolve(id + ".toml").toString()));
    args.addAll(List.of("--db", folder.resolve(id + ".db").toString()));
    return Said.whenDone(args);
  }

  private static JsonValue json(String id, String verb) throws JsonReader.Problem {
    return JSON.read(run(id, verb, "--json"));
  }

  private static JsonValue first(JsonValue list) {
    return ((JsonArray) list).items().get(0);
  }

  private static Set<String> keys(JsonValue object) {
    return ((JsonObject) object).members().keySet();
  }

  @Test
  void ofACapacityTest() throws JsonReader.Problem {
    JsonValue test = first(json("crate", "capacity"));

    assertThat(keys(test))
        .contains("from", "to", "ah", "ah_low", "ah_high", "wh", "rated_pct", "mean_current_a")
        .contains("c_rate", "start_kind", "end_reason", "limiting_cell", "end_spread_mv")
        .contains("mean_temp_c", "coverage_pct");
    assertThat(test.text("from").orElseThrow()).matches("2026-06-20T\\d\\d:\\d\\d:\\d\\dZ");
    assertThat(test.text("start_kind")).hasValue("tail");
    assertThat(test.number("ah").orElse(0)).isBetween(20.0, 23.0);
    assertThat(test.number("wh").orElse(0)).isBetween(265.0, 305.0);
    assertThat(test.number("rated_pct").orElse(0)).isBetween(75.0, 85.0);
    assertThat(test.number("end_spread_mv").orElse(0)).isBetween(50.0, 1_000.0);
    assertThat(test.number("mean_current_a").orElse(0)).isBetween(5.3, 5.5);
  }

  @Test
  void ofTheBalance() throws JsonReader.Problem {
    JsonValue balance = json("crate", "balance");

    assertThat(keys(balance))
        .contains("state", "charge", "spread_mv", "lead", "bleed_a", "remaining_ah", "eta_h")
        .contains("since", "reasons", "last_top");
    assertThat(balance.text("state").orElseThrow())
        .matches("unknown|not_at_top|converging|stalled|diverging|balanced");
    assertThat(balance.text("charge").orElseThrow()).matches("flowing|held|bouncing|float|absent");
    assertThat(keys(balance.items("lead").get(0))).contains("cell", "low_ah", "mid_ah", "high_ah");
    assertThat(balance.items("lead").get(0).whole("cell")).hasValue(1);
    assertThat(keys(balance.get("last_top").orElseThrow())).contains("state", "at");
  }

  @Test
  void ofARest() throws JsonReader.Problem {
    JsonValue rest = first(json("shelf", "rest"));

    assertThat(keys(rest)).contains("from", "to", "hours", "settled", "cells", "suspects");
    assertThat(rest.items("cells")).hasSize(8);
    assertThat(keys(rest.items("cells").get(3)))
        .contains("cell", "drift_mv_per_day", "se_mv_per_day", "leak_ma_low", "leak_ma_high");
    assertThat(rest.items("suspects")).extracting(v -> v.number("").orElse(0)).contains(4.0);
  }

  @Test
  void ofADay() throws JsonReader.Problem {
    JsonValue day = first(json("crate", "energy"));

    assertThat(keys(day))
        .contains("day", "charged_wh", "discharged_wh", "charged_ah", "discharged_ah")
        .contains("soc_min_pct", "soc_max_pct", "full_minutes", "cold_charge_minutes")
        .contains("coverage_pct");
    assertThat(day.text("day")).hasValue("2026-06-20");
    assertThat(day.number("discharged_wh").orElse(0)).isBetween(265.0, 305.0);
    assertThat(day.number("discharged_ah").orElse(0)).isBetween(20.0, 23.0);
    assertThat(day.number("soc_max_pct").orElse(0)).isEqualTo(100);
  }

  @Test
  void ofAgeing() throws JsonReader.Problem {
    JsonValue ageing = json("shelf", "ageing");

    assertThat(keys(ageing))
        .contains("equivalent_full_cycles", "capacity_history", "capacity_trend_pct_per_year")
        .contains("life", "lead_growth");
    assertThat(ageing.items("life"))
        .extracting(v -> v.whole("to_pct").orElse(0))
        .contains(80L, 70L);
    assertThat(keys(ageing.items("life").get(0)))
        .contains("to_pct", "low_years", "mid_years", "high_years");
  }

  /** What no log can tell is told as null, not left out and not as 0. */
  @Test
  void whatCannotBeKnownIsNull() throws JsonReader.Problem {
    JsonValue day = first(json("shelf", "energy"));

    assertThat(keys(day)).contains("soc_min_pct", "soc_max_pct");
    assertThat(day.get("soc_min_pct")).containsInstanceOf(JsonValue.JsonNull.class);
  }
}
