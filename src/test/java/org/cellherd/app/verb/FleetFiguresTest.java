package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.Figures;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PlanText;
import org.cellherd.fleet.HeldLog;
import org.cellherd.fleet.TestCentre;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A number that {@code fleet} shows of a pack is the one that the site's own verbs show. */
class FleetFiguresTest {

  @TempDir private Path folder;

  @ParameterizedTest
  @ValueSource(longs = {1, 2})
  void everyFigureIsOneOfTheSites(long seed) throws Exception {
    DrawnLog site = new DrawnLog(folder, seed, "--judge");
    TestCentre centre = TestCentre.fresh();
    Map<String, String> plans = new HashMap<>();
    var read = ConfigFiles.loadPlans(folder.resolve("plan.toml"));
    read.packs().forEach(p -> plans.put(p.plan().id(), PlanText.of(p)));
    try (LogFile log = LogFile.open(folder.resolve("log.db"), OpenMode.WRITER)) {
      HeldLog.hold(centre, "hill", log, plans, parcel -> true);
    }
    List<String> fleet = List.of("fleet", "--store", centre.url("postgres"));

    List<JsonValue> packs =
        items(Said.whenDone(List.of(fleet.get(0), fleet.get(1), fleet.get(2), "--json")));
    Figures known = new Figures(0);
    for (JsonValue pack : packs) {
      String id = pack.text("pack").orElseThrow();
      String ageing = site.run("ageing", "--pack", id, "--json");
      String capacity = site.run("capacity", "--pack", id, "--json");
      known.and(ageing).and(site.run("rest", "--pack", id, "--json"));
      same(pack, "rated_pct", json(ageing), "rated_pct");
      same(pack, "capacity_trend_pct_per_year", json(ageing), "capacity_trend_pct_per_year");
      List<JsonValue> tests = items(capacity);
      assertThat(tests.isEmpty()).isEqualTo(id.equals("shed"));
      if (!tests.isEmpty()) {
        same(pack, "capacity_ah", tests.get(tests.size() - 1), "ah");
        assertThat(pack.number("rated_pct")).isPresent();
      }
    }
    assertThat(packs).hasSize(2);
    assertThat(Said.whenDone(fleet).lines().flatMap(line -> known.unknownIn(line).stream()))
        .as("seed %d", seed)
        .isEmpty();
  }

  private static void same(JsonValue pack, String here, JsonValue verb, String there) {
    assertThat(pack.number(here)).as("%s of %s", here, pack).isEqualTo(verb.number(there));
  }

  private static List<JsonValue> items(String text) throws Exception {
    return ((JsonValue.JsonArray) json(text)).items();
  }

  private static JsonValue json(String text) throws Exception {
    return new JsonReader(new JsonReader.Limits(9_000_000, 20, 500_000, 90_000)).read(text);
  }
}
