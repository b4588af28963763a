package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.BalanceView.Lead;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.engine.NowSentence;
import org.cellherd.json.JsonText;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A cell that leaks for weeks comes to its knee no more, and by how much the others lead is open
 * above. No cell can be ahead by more than the pack holds: neither a number nor a sentence says so,
 * and what is not known is left out.
 */
class OpenLeadsTest {
  @SuppressWarnings("InlineFormatString")
  private static final String SEASON =
      """
      title = "drawn season"
      seed = %d
      start = 2026-05-02T05:00:00Z
      hours = 240
      step_s = 10
      poll_s = 60

      [[pack]]
      id = "crate"
      chemistry = "lfp"
      series = %d
      parallel = 1
      rated_ah = %.0f
      decoder = "sorrel-16"

      [pack.cells]
      soc_pct = 85
      ahead_spread_ah = %.2f

      [pack.board]
      cell_step_mv = %d
      zero_below_ma = %d
      current_offset_ma = %.0f

      [pack.board.trip]
      high_mv = 3650
      low_mv = 2000

      [charger]
      amperes = %.1f
      hold_mv = %d
      from_h = 8
      to_h = 16
      %s
      [[load]]
      amperes = %.1f
      from_h = 18
      to_h = 22

      [[fault]]
      kind = "leak"
      cell = "any"
      ma_per_ah = [0.6, 1.6]
      """;

  private static final Pattern LEAD = Pattern.compile("([0-9.]+) Ah");
  private static final Pattern NUMBER =
      Pattern.compile("\"(?:low|mid|high|remaining)_ah\":([0-9.]+)");

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void noLeadIsToldThatIsMoreThanThePackHolds(long seed) {
    SimulatedRun season = new SimulatedRun(season(seed), false);
    double rated = season.plan().ratedAh();
    List<String> said = new ArrayList<>();

    season.run(
        7 * 3_600_000,
        run -> {
          for (Lead lead : run.analysis().balance().leads()) {
            double high = lead.ah().high();
            assertThat(Double.isInfinite(high) || high <= rated).as("%s", lead).isTrue();
          }
          said.add(NowSentence.of(run.analysis()));
          run.standing(FindingName.BALANCE)
              .ifPresent(f -> said.add(f.sentence() + JsonText.of(f.facts())));
        });
    season
        .completed(FindingName.FULL_CHARGE)
        .forEach(f -> said.add(f.sentence() + JsonText.of(f.facts())));

    assertThat(said).hasSizeGreaterThan(40);
    for (String text : said) {
      assertThat(text).as("seed %d", seed).doesNotContain("unknown amount", " 0.0 Ah");
      assertThat(leads(text)).as(text).allMatch(ah -> ah <= rated);
    }
  }

  private static List<Double> leads(String text) {
    return Stream.of(LEAD, NUMBER)
        .flatMap(p -> p.matcher(text).results())
        .map(found -> Double.valueOf(found.group(1)))
        .toList();
  }

  private static Scenario season(long seed) {
    Random random = new Random(seed);
    int series = 4 + random.nextInt(9);
    double rated = 16 + 24 * random.nextDouble();
    boolean isBled = random.nextBoolean();
    String text =
        String.format(
            Locale.ROOT,
            SEASON,
            seed,
            series,
            rated,
            0.01 * rated,
            random.nextBoolean() ? 1 : 5,
            random.nextBoolean() ? 100 : 500,
            80 * random.nextDouble() - 40,
            0.2 * rated,
            series * 3500,
            isBled ? "[pack.board.bleed]\nma = 60\nfrom_mv = 3400\n" : "",
            0.04 * rated);
    return TestScenarios.read(text);
  }
}
