package org.cellherd.alert.rule;

import java.util.Optional;
import java.util.OptionalDouble;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.SelfDischarge;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.RestResult;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * A cell discharges itself faster than the others, as the drift in long rests shows, or its falling
 * behind from one full charge to the next, by surely more than a sound cell does. Where the plateau
 * hides how much, the fall is reported without a number: the flatter the curve, the more it takes.
 */
final class Leak extends Rule {
  static final RuleId ID = new RuleId("leak");

  static final Rule.Kind KIND =
      Rule.Kind.of(
          ID, "a cell discharges itself more than a sound cell does.", Leak::defaults, Leak::new);

  /**
   * An interval of 95 % misses once in twenty, but up to 32 cells are looked at after each full
   * charge of each day: to be wrong once in 50 days of a pack, a look may be wrong once in about
   * 1,600, which a normal error takes 3.2 deviations for in place of 1.96.
   */
  private static final double WIDER = 3.2 / 1.96;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.WARNING).delays(0, 7 * 86_400).repeatedAfter(168);
  }

  Leak(RuleSettings set) {
    super(Terms.plain(set, "mA").judgedEvery(600_000));
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    Optional<RestResult> rest = input.view().standing(FindingName.REST, RestResult.class);
    Optional<AgeingResult> aged = input.view().standing(FindingName.AGEING, AgeingResult.class);
    if (rest.isEmpty() && aged.isEmpty()) {
      return;
    }
    for (int cell = 1; cell <= input.plan().series(); cell++) {
      Evidence evidence = evidence(rest, aged, cell);
      double low = evidence.low();
      boolean isLeak =
          evidence.isSuspect
              && !(evidence.least() <= SelfDischarge.soundMa(input.plan().ratedAh()));
      int number = cell;
      out.judge(
          cell,
          new Judgement(isLeak ? 1 : 0, !isLeak, low, Double.NaN, () -> words(number, evidence)));
    }
  }

  /**
   * What tells of one cell.
   *
   * @param isSuspect true where it falls behind
   * @param leakMa what it loses; empty where that is not told
   * @param driftMvPerDay at rest; NaN where it showed from one full charge to the next
   * @param restHours length of the rest
   */
  private record Evidence(
      boolean isSuspect,
      Optional<Interval> leakMa,
      double driftMvPerDay,
      OptionalDouble restHours) {
    double low() {
      return leakMa.map(Interval::low).orElse(Double.NaN);
    }

    /** The lower end of what it is, where many are looked at. */
    double least() {
      boolean isOfCharges = Double.isNaN(driftMvPerDay);
      return leakMa
          .filter(leak -> isOfCharges && Double.isFinite(leak.high()))
          .map(l -> (l.low() + l.high()) / 2 - WIDER * (l.high() - l.low()) / 2)
          .orElse(low());
    }
  }

  private static Evidence evidence(
      Optional<RestResult> rest, Optional<AgeingResult> aged, int cell) {
    OptionalDouble hours =
        rest.isPresent() ? OptionalDouble.of(rest.get().hours()) : OptionalDouble.empty();
    Optional<AgeingResult.Leaking> behind = aged.flatMap(a -> a.leaking(cell));
    boolean isResting = rest.filter(r -> r.suspects().contains(cell)).isPresent();
    if (behind.isPresent() && !isResting) {
      return new Evidence(true, Optional.of(behind.get().leakMa()), Double.NaN, hours);
    }
    Optional<RestResult.Cell> drift = rest.flatMap(r -> r.cell(cell));
    return new Evidence(
        isResting,
        drift.flatMap(RestResult.Cell::leakMa),
        drift.map(RestResult.Cell::driftMvPerDay).orElse(Double.NaN),
        hours);
  }

  private static Words words(int cell, Evidence evidence) {
    double low = evidence.low();
    double high = evidence.leakMa.map(Interval::high).orElse(Double.NaN);
    double slope = evidence.driftMvPerDay;
    String leak =
        Double.isNaN(low)
            ? ""
            : Double.isInfinite(high)
                ? ", at least " + Spoken.low(low, 1) + " mA"
                : ", about " + Spoken.between(low, high, 1) + " mA";
    String fall =
        Double.isNaN(slope)
            ? " from one full charge to the next"
            : " by " + Spoken.number(-slope, 2) + " mV a day at rest";
    return Words.of(
        "Cell " + cell + " falls behind the others" + fall + leak,
        "Look for a wire or board that draws on this cell alone; else replace the cell.",
        Facts.of()
            .put("drift_mv_per_day", slope, 3)
            .putLow("leak_ma_low", low, 2)
            .putHigh("leak_ma_high", high, 2)
            .put("rest_hours", evidence.restHours, 1)
            .build());
  }
}
