package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.LongStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.ColdCharge;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Runner;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Alerts of packs that are heard at a pace drawn between 0.5 and 60 s, with holes and with up to a
 * fifth of the readings missing.
 */
class AlertsAtAnyPaceTest {

  /** They say what is really so: the air is cold, the evening's load is large. */
  private static final Set<RuleId> TRUE_OF_THE_DAY =
      Set.of(
          ColdCharge.ID,
          Rules.id("cold-morning"),
          Rules.id("charge-zone"),
          Rules.id("empty-ahead"));

  private static final double FASTEST_S = 0.5;
  private static final double SLOWEST_S = 60;

  /** {@code -Dcellherd.runs=24 -Dcellherd.seed=1001} draws more and others. */
  private static final long FIRST_SEED = Long.getLong("cellherd.seed", 101);

  private static final int RUNS = Integer.getInteger("cellherd.runs", 1);

  private static List<DrawnListening> heard(String text, double fastestS, double slowestS) {
    // The same seed for all scenarios would draw the same pace for all.
    long first = FIRST_SEED + 1000L * Math.floorMod(text.hashCode(), 1000);
    return LongStream.range(0, RUNS)
        .mapToObj(i -> new DrawnListening(text, first + i, fastestS, slowestS).run())
        .toList();
  }

  private static String shipped(String name) {
    return Scenarios.text(name).orElseThrow();
  }

  @ParameterizedTest
  @ValueSource(strings = {"healthy-night", "night-alone", "healthy-nmc", "float-charger"})
  void aHealthyNightIsQuietAtAnyPace(String name) {
    for (DrawnListening run : heard(shipped(name), FASTEST_S, SLOWEST_S)) {
      assertThat(run.counts().keySet()).as("%s", run).isSubsetOf(TRUE_OF_THE_DAY);
    }
  }

  /** Most days bring a part of a charge; a clear one each few days fills the pack. */
  @Test
  void noRuleChattersInAMonthThatSeldomFillsThePack() {
    String month =
        shipped("healthy-week")
            .replaceFirst("(?m)^hours = .*$", "hours = 600")
            .replaceFirst("(?m)^peak_w = .*$", "peak_w = 1000")
            .replaceFirst("(?m)^cloudiness = .*$", "cloudiness = 0.5");
    for (DrawnListening run : heard(month, 20, SLOWEST_S)) {
      assertThat(run.counts().keySet())
          .as("%s", run)
          .doesNotContain(
              Rules.id("charge-voltage"),
              Runner.ID,
              Rules.id("silent"),
              Rules.id("frozen"),
              Rules.id("imbalance"));
      assertThat(run.mostADay()).as("%s", run).isLessThanOrEqualTo(3);
    }
  }

  /** However often a cell comes back to a limit within one charge, it is raised once. */
  @ParameterizedTest
  @ValueSource(
      strings = {"first-night", "bouncing-night", "stalled-night", "runaway", "prints-zero"})
  void aCriticalAlertIsRaisedOnceACharge(String name) {
    for (DrawnListening run : heard(shipped(name), FASTEST_S, SLOWEST_S)) {
      Map<AlertKey, Long> critical =
          run.raised().stream()
              .filter(a -> a.priority() == Priority.CRITICAL)
              .collect(Collectors.groupingBy(Alert::key, Collectors.counting()));

      assertThat(critical.values()).as("%s", run).allMatch(n -> n == 1);
    }
  }

  /** As slow as a listener may be told of a fault that takes minutes. */
  @ParameterizedTest
  @CsvSource({
    "runaway, runner, 20",
    "stalled-night, imbalance, 60",
    "over-discharge, cell-low, 60"
  })
  void aRealFaultIsRaisedAtAnyPace(String name, RuleId rule, double slowestS) {
    for (DrawnListening run : heard(shipped(name), FASTEST_S, slowestS)) {
      assertThat(run.counts()).as("%s", run).containsKey(rule);
    }
  }
}
