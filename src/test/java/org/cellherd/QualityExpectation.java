package org.cellherd;

import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Rules;

/**
 * What alerts should say of a family of scenarios.
 *
 * @param cause rules that name the cause; empty where nothing is wrong
 * @param symptoms rules that may also speak up, for they tell the truth too: a season is cold and
 *     grey, a pack of less capacity than its plan has a count that does not fit, a sensor that may
 *     be broken silences no rule, a pump in the evening would empty its pack if it went on
 */
record QualityExpectation(Set<RuleId> cause, Set<RuleId> symptoms) {

  private static final QualityExpectation QUIET = new QualityExpectation(Set.of(), Set.of());

  private static final Map<String, QualityExpectation> FAMILIES =
      Map.ofEntries(
          Map.entry("leak", of(Set.of("leak"), "imbalance", "spread")),
          Map.entry("rest-leak", of(Set.of("leak"), "stored-low", "cell-low")),
          Map.entry(
              "short",
              of(
                  Set.of("leak", "imbalance"),
                  "spread",
                  "cell-low",
                  "runner",
                  "limit-ahead",
                  "stored-low",
                  "implausible")),
          Map.entry(
              "low-capacity",
              of(Set.of(), "cell-low", "limit-ahead", "empty-ahead", "implausible")),
          Map.entry(
              "capacity", of(Set.of(), "cell-low", "limit-ahead", "empty-ahead", "implausible")),
          Map.entry(
              "healthy-season",
              of(
                  Set.of(),
                  "cold-charge",
                  "charge-zone",
                  "cold-morning",
                  "never-full",
                  "empty-ahead")),
          Map.entry("loose-tap", of(Set.of("implausible"), "spread")),
          Map.entry("swapped-taps", of(Set.of("implausible"), "cell-high", "cell-low")),
          Map.entry("bad-strap", of(Set.of("resistance"), "spread")),
          Map.entry(
              "cold-charge", of(Set.of("cold-charge"), "charge-zone", "cold-morning", "cold")),
          Map.entry("over-discharge", of(Set.of("cell-low", "limit-ahead"), "empty-ahead")),
          Map.entry(
              "runaway",
              of(Set.of("runner", "limit-ahead", "cell-high"), "imbalance", "charge-voltage")),
          Map.entry(
              "bouncing", of(Set.of("bounce"), "runner", "limit-ahead", "cell-high", "imbalance")),
          Map.entry("stalled", of(Set.of("imbalance"), "runner", "limit-ahead", "cell-high")),
          Map.entry("first-night", of(Set.of(), "runner", "limit-ahead", "cell-high", "bounce")),
          Map.entry("odd-even", of(Set.of(), "runner", "limit-ahead", "cell-high")),
          Map.entry("prints-zero", of(Set.of(), "runner", "limit-ahead", "cell-high")),
          Map.entry("current-offset", of(Set.of("implausible"), "never-full")),
          Map.entry(
              "thermistor",
              of(Set.of("implausible"), "heating", "cold", "cold-charge", "cold-morning")),
          Map.entry(
              "stuck", of(Set.of("implausible", "frozen"), "spread", "imbalance", "empty-ahead")),
          Map.entry("frozen", of(Set.of("frozen"), "implausible", "runner", "limit-ahead")),
          Map.entry("cell-count", of(Set.of("cell-count"), "implausible")),
          Map.entry(
              "bank",
              of(Set.of("bank-share"), "cell-low", "limit-ahead", "imbalance", "empty-ahead")),
          Map.entry("brown-out", of(Set.of("restarted"))),
          Map.entry("cable", of(Set.of("silent"))),
          Map.entry("sleep", of(Set.of(), "silent", "implausible")));

  private static QualityExpectation of(Set<String> cause, String... symptoms) {
    return new QualityExpectation(rules(cause.stream()), rules(Stream.of(symptoms)));
  }

  private static Set<RuleId> rules(Stream<String> words) {
    return words.map(Rules::id).collect(Collectors.toUnmodifiableSet());
  }

  /** What is expected of a family; silence where nothing is written. */
  static QualityExpectation ofFamily(String family) {
    return FAMILIES.getOrDefault(family, QUIET);
  }

  /** True when something is to be found by an alert. */
  boolean hasCause() {
    return !cause.isEmpty();
  }

  /** True where the cause is told by a capacity test, not by an alert. */
  static boolean isToldByCapacity(String family) {
    return family.equals("low-capacity");
  }

  boolean expects(RuleId rule) {
    return cause.contains(rule) || symptoms.contains(rule);
  }
}
