package org.cellherd.alert.rule;

import java.util.Optional;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * The pack's capacity fell against its own first test: used cells never had their rated capacity. A
 * test counts when it began full, is nearly gapless and was not run in the cold; two tests are
 * compared when their rates differ by a factor of two at most.
 */
final class CapacityFall extends Rule {
  static final RuleId ID = new RuleId("capacity");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID,
          "capacity is below 90 % of the first accepted test.",
          CapacityFall::defaults,
          CapacityFall::new);

  private static final double LEAST_COVERAGE_PCT = 95;
  private static final double LEAST_TEMP_C = 10;

  private final double limitPct;
  private final double deadbandPct;
  private double firstAh = Double.NaN;
  private double firstRate = Double.NaN;
  private double lastHighAh = Double.NaN;

  /** All from common practice, no source. */
  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.NOTE)
        .number("limit_pct", 90, 10, 100, "of the first accepted capacity")
        .number("deadband_pct", 2, 0, 20, "over only this much above")
        .delays(0, 0)
        .repeatedAfter(0);
  }

  CapacityFall(RuleSettings set) {
    super(Terms.plain(set, "Ah"));
    limitPct = set.number("limit_pct");
    deadbandPct = set.number("deadband_pct");
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    for (Finding finding : input.view().completed()) {
      finding.result(CapacityResult.class).filter(CapacityFall::counts).ifPresent(this::learn);
    }
    if (Double.isNaN(lastHighAh)) {
      return;
    }
    double limit = firstAh * limitPct / 100;
    double back = firstAh * (limitPct + deadbandPct) / 100;
    out.judge(
        0,
        new Judgement(
            lastHighAh < limit ? 1 : 0, lastHighAh >= back, lastHighAh, limit, this::words));
  }

  private static boolean counts(CapacityResult test) {
    CapacityResult.Conditions how = test.conditions();
    return holds(test).isPresent()
        && how.coveragePct() >= LEAST_COVERAGE_PCT
        && !(how.meanTempC() < LEAST_TEMP_C)
        && how.startKind() != ChargeTermination.UNKNOWN;
  }

  /**
   * What the pack gives with all cells full at once: how they are charged is no wear. Where the
   * charge before did not show how they stood, a test says nothing of the cells.
   */
  private static Optional<Interval> holds(CapacityResult test) {
    return test.usable().map(usable -> usable.balanced().ah());
  }

  private void learn(CapacityResult test) {
    Interval holds = holds(test).orElseThrow();
    double ah = holds.mid();
    double rate = test.cRate();
    if (Double.isNaN(firstAh)) {
      firstAh = ah;
      firstRate = rate;
      return;
    }
    double ratio = Math.abs(rate / firstRate);
    if (Double.isNaN(ratio) || (ratio >= 0.5 && ratio <= 2)) {
      lastHighAh = holds.high();
    }
  }

  private Words words() {
    return Words.of(
        "Capacity is at most "
            + Spoken.high(lastHighAh, 1)
            + " Ah, "
            + Spoken.high(lastHighAh / firstAh * 100, 0)
            + " % of the "
            + Spoken.number(firstAh, 1)
            + " Ah of the first test",
        "Check which cell ended the discharge; compare tests at one rate and temperature.",
        Facts.of().putHigh("ah_high", lastHighAh, 2).put("first_ah", firstAh, 2).build());
  }

  @Override
  public void state(State io) {
    firstAh = io.number(firstAh);
    firstRate = io.number(firstRate);
    lastHighAh = io.number(lastHighAh);
  }
}
