package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;

/**
 * Packs that are drawn at random, charged once and left standing for weeks, at rest or on a
 * charger's float, while one cell leaks. It leaves its knee and falls by what no plateau shows: no
 * lead of the charge may be told as if nothing had gone on since.
 */
class DrawnStandsTest {
  private static final int PACKS = 16;
  private static final long SEED = 20_261_201;
  private static final long HALF_DAY_MS = 43_200_000;

  @SuppressWarnings("InlineFormatString")
  private static final String PACK =
      """
      title = "drawn stand"
      seed = %d
      start = 2026-06-10T08:00:00Z
      hours = %d
      step_s = 10
      poll_s = 60

      [[pack]]
      id = "shed"
      chemistry = "%s"
      series = %d
      parallel = 1
      rated_ah = %.0f
      decoder = "sorrel-16"

      [pack.cells]
      soc_pct = 70
      capacity_spread_pct = 2
      resistance_spread_pct = 10
      ahead_spread_ah = %.2f

      [pack.board]
      cell_noise_mv = %.1f
      cell_offset_mv = 1.5
      zero_below_ma = %d
      own_ma = %.0f
      %s
      [pack.board.trip]
      high_mv = %d
      low_mv = 1500

      [charger]
      amperes = %.1f
      hold_mv = %d
      tail_a = %.2f
      float_mv = %d

      [ambient]
      mean_c = %.0f
      daily_c = 2

      [[fault]]
      kind = "leak"
      cell = "any"
      ma_per_ah = %.3f
      """;

  private final long seed = Long.getLong("cellherd.seed", SEED);
  private final Random random = new Random(seed);
  private final Map<String, int[]> strata = new TreeMap<>();

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  private <T> T one(T[] values) {
    return values[random.nextInt(values.length)];
  }

  @Test
  void aLeadIsToldOnlyAsFarAsACellThatFellAtRestLeavesIt() {
    for (int i = 0; i < Integer.getInteger("cellherd.runs", PACKS); i++) {
      judge(i);
    }
    String table = table();
    System.out.println("seed " + seed + ": " + table);

    strata.forEach(
        (stratum, n) ->
            assertThat(n[1])
                .as("%s of %s", stratum, table)
                .isGreaterThanOrEqualTo((int) Math.floor(0.93 * n[0])));
    int[] all = strata.getOrDefault("all", new int[2]);
    assertThat(all[1]).as("%s", table).isGreaterThanOrEqualTo((int) (0.97 * all[0]));
    assertThat(all[0]).isGreaterThan(1000);
  }

  private void judge(int number) {
    String chemistry = one(new String[] {"lfp", "lfp", "lfp", "nmc", "lto", "sodium-ion"});
    int top =
        switch (chemistry) {
          case "lfp" -> 3550;
          case "nmc" -> 4150;
          case "lto" -> 2700;
          default -> 3900;
        };
    int series = 4 + random.nextInt(5);
    double rated = between(20, 80);
    String bleed = one(new String[] {"none", "told", "told", "untold"});
    String stand = one(new String[] {"rest", "float", "hold"});
    double leakMa = between(3, 40);
    String text =
        String.format(
            Locale.ROOT,
            PACK,
            number + 1,
            24 * (8 + random.nextInt(14)),
            chemistry,
            series,
            rated,
            rated * between(0.002, 0.02),
            between(0.2, 1.5),
            one(new Integer[] {0, 200, 500}),
            between(0, 20),
            bleed(bleed, top - 100),
            top + 150,
            rated * between(0.1, 0.25),
            series * top,
            stand.equals("hold") ? 0 : 0.04 * rated,
            stand.equals("float") ? series * (int) (top * between(0.945, 0.99)) : 0,
            between(8, 28),
            leakMa / rated);
    Scenario scenario = TestScenarios.read(text);
    String[] in = {"all", chemistry, "bleed " + bleed, stand};
    new SimulatedRun(scenario, false).run(HALF_DAY_MS, run -> count(run, rated, in));
  }

  private String bleed(String kind, int fromMv) {
    return kind.equals("none")
        ? ""
        : String.format(
            Locale.ROOT,
            "[pack.board.bleed]\nma = %.0f\nfrom_mv = %d\nflag = %s\nwhen = \"%s\"\n",
            between(30, 150),
            fromMv,
            kind.equals("told"),
            one(new String[] {"always", "charging"}));
  }

  private void count(SimulatedRun run, double rated, String[] in) {
    double slack = Math.max(0.01, 0.001 * rated);
    for (Lead lead : run.analysis().balance().leads()) {
      double truth = run.truth().leadAh(lead.cell());
      double high = lead.ah().high();
      boolean isHeld = lead.ah().low() - slack <= truth && truth <= high + slack;
      boolean isBounded = high - lead.ah().low() < 0.2 * rated;
      if (isBounded || lead.ah().low() > 0) {
        for (String stratum : in) {
          count(stratum, isHeld);
        }
        count(isBounded ? "bounded" : "at least", isHeld);
      }
    }
  }

  private void count(String stratum, boolean isHeld) {
    int[] n = strata.computeIfAbsent(stratum, s -> new int[2]);
    n[0]++;
    n[1] += isHeld ? 1 : 0;
  }

  private String table() {
    StringBuilder text = new StringBuilder();
    strata.forEach(
        (stratum, n) ->
            text.append(String.format(Locale.ROOT, "%s: %d of %d held; ", stratum, n[1], n[0])));
    return text.toString();
  }
}
