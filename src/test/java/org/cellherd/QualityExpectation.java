package org.cellherd;

import static org.cellherd.alert.RuleId.BANK_SHARE;
import static org.cellherd.alert.RuleId.BOUNCE;
import static org.cellherd.alert.RuleId.CELL_COUNT;
import static org.cellherd.alert.RuleId.CELL_HIGH;
import static org.cellherd.alert.RuleId.CELL_LOW;
import static org.cellherd.alert.RuleId.CHARGE_VOLTAGE;
import static org.cellherd.alert.RuleId.CHARGE_ZONE;
import static org.cellherd.alert.RuleId.COLD;
import static org.cellherd.alert.RuleId.COLD_CHARGE;
import static org.cellherd.alert.RuleId.COLD_MORNING;
import static org.cellherd.alert.RuleId.EMPTY_AHEAD;
import static org.cellherd.alert.RuleId.FROZEN;
import static org.cellherd.alert.RuleId.HEATING;
import static org.cellherd.alert.RuleId.IMBALANCE;
import static org.cellherd.alert.RuleId.IMPLAUSIBLE;
import static org.cellherd.alert.RuleId.LEAK;
import static org.cellherd.alert.RuleId.LIMIT_AHEAD;
import static org.cellherd.alert.RuleId.NEVER_FULL;
import static org.cellherd.alert.RuleId.RESISTANCE;
import static org.cellherd.alert.RuleId.RESTARTED;
import static org.cellherd.alert.RuleId.RUNNER;
import static org.cellherd.alert.RuleId.SILENT;
import static org.cellherd.alert.RuleId.SPREAD;
import static org.cellherd.alert.RuleId.STORED_LOW;

import java.util.Map;
import java.util.Set;
import org.cellherd.alert.RuleId;

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
          Map.entry("leak", of(Set.of(LEAK), IMBALANCE, SPREAD)),
          Map.entry("rest-leak", of(Set.of(LEAK), STORED_LOW, CELL_LOW)),
          Map.entry(
              "short",
              of(
                  Set.of(LEAK, IMBALANCE),
                  SPREAD,
                  CELL_LOW,
                  RUNNER,
                  LIMIT_AHEAD,
                  STORED_LOW,
                  IMPLAUSIBLE)),
          Map.entry("low-capacity", of(Set.of(), CELL_LOW, LIMIT_AHEAD, EMPTY_AHEAD, IMPLAUSIBLE)),
          Map.entry("capacity", of(Set.of(), CELL_LOW, LIMIT_AHEAD, EMPTY_AHEAD, IMPLAUSIBLE)),
          Map.entry(
              "healthy-season",
              of(Set.of(), COLD_CHARGE, CHARGE_ZONE, COLD_MORNING, NEVER_FULL, EMPTY_AHEAD)),
          Map.entry("loose-tap", of(Set.of(IMPLAUSIBLE), SPREAD)),
          Map.entry("swapped-taps", of(Set.of(IMPLAUSIBLE), CELL_HIGH, CELL_LOW)),
          Map.entry("bad-strap", of(Set.of(RESISTANCE), SPREAD)),
          Map.entry("cold-charge", of(Set.of(COLD_CHARGE), CHARGE_ZONE, COLD_MORNING, COLD)),
          Map.entry("over-discharge", of(Set.of(CELL_LOW, LIMIT_AHEAD), EMPTY_AHEAD)),
          Map.entry(
              "runaway", of(Set.of(RUNNER, LIMIT_AHEAD, CELL_HIGH), IMBALANCE, CHARGE_VOLTAGE)),
          Map.entry("bouncing", of(Set.of(BOUNCE), RUNNER, LIMIT_AHEAD, CELL_HIGH, IMBALANCE)),
          Map.entry("stalled", of(Set.of(IMBALANCE), RUNNER, LIMIT_AHEAD, CELL_HIGH)),
          Map.entry("first-night", of(Set.of(), RUNNER, LIMIT_AHEAD, CELL_HIGH, BOUNCE)),
          Map.entry("odd-even", of(Set.of(), RUNNER, LIMIT_AHEAD, CELL_HIGH)),
          Map.entry("prints-zero", of(Set.of(), RUNNER, LIMIT_AHEAD, CELL_HIGH)),
          Map.entry("current-offset", of(Set.of(IMPLAUSIBLE), NEVER_FULL)),
          Map.entry(
              "thermistor", of(Set.of(IMPLAUSIBLE), HEATING, COLD, COLD_CHARGE, COLD_MORNING)),
          Map.entry("stuck", of(Set.of(IMPLAUSIBLE, FROZEN), SPREAD, IMBALANCE, EMPTY_AHEAD)),
          Map.entry("frozen", of(Set.of(FROZEN), IMPLAUSIBLE, RUNNER, LIMIT_AHEAD)),
          Map.entry("cell-count", of(Set.of(CELL_COUNT), IMPLAUSIBLE)),
          Map.entry("bank", of(Set.of(BANK_SHARE), CELL_LOW, LIMIT_AHEAD, IMBALANCE, EMPTY_AHEAD)),
          Map.entry("brown-out", of(Set.of(RESTARTED))),
          Map.entry("cable", of(Set.of(SILENT))),
          Map.entry("sleep", of(Set.of(), SILENT, IMPLAUSIBLE)));

  private static QualityExpectation of(Set<RuleId> cause, RuleId... symptoms) {
    return new QualityExpectation(cause, Set.of(symptoms));
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
