package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Random;
import java.util.regex.Pattern;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.BalanceResult;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.json.JsonText;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A finding is told twice: in a sentence for people, and in facts for scripts and the broker. Drawn
 * packs, so that any of its sentences comes about.
 */
class FindingFiguresTest {

  private static final List<String> NIGHTS =
      List.of(
          "first-night",
          "first-night-16s",
          "capacity-test",
          "low-capacity",
          "shelf-rest",
          "runaway",
          "bouncing-night",
          "over-discharge",
          "leaking-cell",
          "bad-strap",
          "cold-charge",
          "offgrid-season");

  private static final String ISO_DATE = "\\d{4}-\\d\\d-\\d\\d";

  /** A hyphen for a minus, a minus before nothing, an exponent, what is no number. */
  private static final String ODD_NUMBER =
      "(?m)(^|[ (])-\\d|[-\u2212+]0(\\.0+)?(?![.\\d])|\\d[eE][-+]?\\d|NaN|Infinity|\u221e";

  /** The same of what the broker is sent, where a hyphen is the minus. */
  private static final String ODD_FACT =
      "-0(\\.0+)?(?![.\\d])[,}]|\\d[eE][-+]?\\d+[,}]|NaN|Infinity";

  /**
   * Figures of sentences that are no measurements: no charge below so many degrees, the hours that
   * a rest must last, and what used cells are taken to hold.
   */
  private static final Facts CONSTANTS =
      Facts.of()
          .put("cold_c", 0)
          .put("rest_h", 72)
          .put("least_pct", 50)
          .put("most_pct", 100)
          .build();

  @ParameterizedTest
  @ValueSource(longs = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11})
  void everyFigureOfASentenceIsOneOfItsFacts(long seed) {
    Random random = new Random(seed);
    String name = NIGHTS.get((int) seed % NIGHTS.size());
    Scenario scenario = drawn(name, random);
    List<Finding> told = new ArrayList<>();
    SimulatedRun run =
        new SimulatedRun(scenario, true).run(1_800_000, r -> told.addAll(r.analysis().standing()));
    for (FindingName word : FindingName.values()) {
      told.addAll(run.completed(word));
    }

    List<String> unknown = new ArrayList<>();
    for (Finding finding : told) {
      assertThat(finding.sentence())
          .doesNotContainPattern(ISO_DATE)
          .doesNotContainPattern(ODD_NUMBER);
      Figures figures =
          new Figures(finding.toMs()).and(finding.facts()).and(planned(run.plan())).and(CONSTANTS);
      figures
          .unknownIn(finding.sentence())
          .forEach(f -> unknown.add(finding.name().word() + ": " + f));
      doesNotContradictItself(finding);
    }
    for (AlertEvent event : run.events()) {
      assertThat(event.alert().text() + " " + event.alert().firstStep())
          .doesNotContainPattern(ISO_DATE)
          .doesNotContainPattern(ODD_NUMBER);
      assertThat(JsonText.of(event.facts())).doesNotContainPattern(ODD_FACT);
      if (event.change() == AlertEvent.Change.RAISED) {
        Alert alert = event.alert();
        String unit = alert.unit().toLowerCase(Locale.ROOT).replace("\u00b0", "");
        Facts judged =
            Facts.of()
                .put("value_" + unit, alert.value(), 3)
                .put("limit_" + unit, alert.limit(), 3)
                .build();
        Figures figures =
            new Figures(alert.timeMs()).and(alert.evidence()).and(judged).and(CONSTANTS);
        figures
            .unknownIn(alert.text())
            .forEach(f -> unknown.add(alert.key().rule().word() + ": " + f));
      }
    }
    assertThat(told).isNotEmpty();
    assertThat(unknown.stream().distinct().toList()).as("%s, seed %d", name, seed).isEmpty();
  }

  /** What is said in words of a bound, and of balancing, is what the numbers beside it say. */
  private static void doesNotContradictItself(Finding finding) {
    finding
        .result(BalanceResult.class)
        .ifPresent(
            balance ->
                assertThat(balance.reasons().stream().anyMatch(r -> r.contains("upper bound")))
                    .as("%s beside %s", balance.reasons(), balance.lead())
                    .isEqualTo(
                        balance.lead().stream().anyMatch(l -> Double.isInfinite(l.ah().high()))));
    finding
        .result(CapacityResult.class)
        .ifPresent(
            test -> {
              String said = finding.sentence().toLowerCase(Locale.ROOT);
              assertThat(Pattern.compile("balancing (will|would)").matcher(said).results())
                  .as(said)
                  .hasSizeLessThanOrEqualTo(1);
              assertThat(said.contains("balancing will") && test.usable().isPresent())
                  .as(said)
                  .isFalse();
            });
  }

  private static Scenario drawn(String name, Random random) {
    String text =
        Scenarios.text(name)
            .orElseThrow()
            .replaceFirst(
                "\npoll_s = \\d+", "\npoll_s = " + List.of(5, 10, 20).get(random.nextInt(3)))
            .replaceFirst("\nhours = \\d{3,}", "\nhours = 110")
            .replaceFirst("\nseed = \\d+", "\nseed = " + random.nextInt(9_999));
    return Scenario.read(name + ".toml", text, new Problems()).orElseThrow();
  }

  private static Facts planned(PackPlan plan) {
    return Facts.of()
        .put("rated_ah", plan.ratedAh(), 3)
        .put("good_load_a", Math.ceil(0.2 * plan.ratedAh()), 0)
        .put("balanced_mv", AnalysisSettings.of(plan).balancedMv())
        .build();
  }

  /** Else all of this would show nothing. */
  @Test
  void aFigureThatIsNoneOfTheFactsIsFound() {
    Figures figures =
        new Figures(0)
            .and("{\"ah_low\": 21.349, \"ah\": 22.15, \"ah_high\": 22.992, \"end_mv\": 2502}");

    assertThat(figures.unknownIn("22.2 Ah (21.3 to 23.0 Ah) down to 2.502 V")).isEmpty();
    assertThat(figures.unknownIn("22.0 Ah (21.5 to 22.9 Ah) down to 2.503 V")).hasSize(4);
    assertThat(figures.unknownIn("22.2 V")).hasSize(1);
  }
}
