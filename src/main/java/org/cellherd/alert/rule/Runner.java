package org.cellherd.alert.rule;

import java.util.OptionalDouble;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.alert.state.Judgement;
import org.cellherd.alert.state.Words;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * A cell runs away from the others at the top of the charge: in the knee, far above the median, and
 * still rising: higher than it stood before. A board that prints a small charge as nothing does not
 * hide it: only charge makes a cell rise there. Over when it comes back, when the charge stops, or
 * when it has stood still for ten minutes.
 */
public final class Runner extends Rule {
  public static final RuleId ID = new RuleId("runner");

  static final Rule.Kind KIND =
      Rule.Kind.ofPlan(
          ID,
          "a cell runs away from the others at the top of the charge.",
          Runner::defaults,
          Runner::new);

  private static final long STANDSTILL_MS = 600_000;

  /** No cell stands here: an input that reads so is open or wired wrong, and beyond its limit. */
  private static final double MOST_MV = 5_000;

  private final double fromMv;
  private final double leastLead;
  private final double leastRate;
  private final double deadband;
  private final double limitMv;
  private final PublishedKnee knee;

  private static RuleSettings defaults(PackPlan plan) {
    return Sheet.of(ID, Priority.CRITICAL)
        .cellMv("from_mv", plan.limits().fullMv(), "the cell is at least this high")
        .number("above_mv", 80, 5, 2000, "and this far above the median")
        .number("rate_mv_per_min", 5, 0.1, 1000, "and rises faster than this")
        .number("deadband_mv", 20, 0, 500, "over only when nearer to the median by this much")
        .delays(10, 60)
        .repeatedAfter(6);
  }

  Runner(PackPlan plan, RuleSettings set) {
    super(Terms.live(set, "mV").ofACharge().spoiltAs(Doubt.VOLTAGE));
    this.fromMv = set.number("from_mv");
    this.leastLead = set.number("above_mv");
    this.leastRate = set.number("rate_mv_per_min");
    this.deadband = set.number("deadband_mv");
    this.limitMv = plan.limits().cutOffHighMv();
    this.knee = new PublishedKnee(plan);
  }

  @Override
  public void judge(RuleInput input, Verdicts out) {
    CellVoltages cells = input.cells().orElse(CellVoltages.NONE);
    if (cells.presentCount() < 2 || input.flowingMa().isEmpty()) {
      return;
    }
    for (int cell = 1; cell <= cells.count(); cell++) {
      if (cells.has(cell) && (mayRun(cells.mv(cell)) || out.needs(cell, 0))) {
        judge(cell, cells.mv(cell), cells.medianMv(), input, out);
      }
    }
  }

  private boolean mayRun(double mv) {
    return mv >= fromMv;
  }

  private void judge(int cell, double mv, double median, RuleInput input, Verdicts out) {
    if (mv > MOST_MV) {
      return;
    }
    double lead = mv - median;
    int flow = input.flowingMa().orElseThrow();
    boolean isNear = lead < leastLead - deadband || mv < fromMv - deadband;
    if (isNear || flow < 0) {
      out.judge(cell, back(0));
      return;
    }
    OptionalDouble rate = input.cellRate(cell);
    if (rate.isEmpty()) {
      return;
    }
    if (rate.getAsDouble() <= 0) {
      long still = flow == 0 ? 0 : STANDSTILL_MS;
      out.judge(cell, back(still));
      return;
    }
    boolean isAhead = lead >= leastLead && mv >= fromMv;
    boolean isRising = rate.getAsDouble() > leastRate && input.view().isNewHigh(cell);
    out.judge(
        cell,
        new Judgement(
            isAhead && isRising ? 1 : 0,
            false,
            lead,
            leastLead,
            () -> words(cell, mv, lead, rate.getAsDouble(), input)));
  }

  /** Where the charge has stopped the cell may still stand as far above the others: no value. */
  private Judgement back(long leastOffMs) {
    return new Judgement(0, true, Double.NaN, leastLead, leastOffMs, () -> Words.NONE);
  }

  private Words words(int cell, double mv, double lead, double rate, RuleInput input) {
    double minutes = knee.minutesTo(cell, mv, limitMv, input);
    return Words.ahead(
        "Cell "
            + cell
            + " runs ahead at the top of the charge, "
            + Spoken.volts(mv)
            + ", "
            + Spoken.number(lead, 0)
            + " mV above the median and rising "
            + Spoken.number(rate, 0)
            + " mV a minute",
        knee.ahead(mv, limitMv, minutes, true),
        "Lower the charge current or voltage.",
        Facts.of()
            .put("cell_mv", mv, 1)
            .put("above_mv", lead, 1)
            .put("rate_mv_per_min", rate, 1)
            .put("limit_mv", limitMv, 0)
            .put("minutes_to_limit", minutes, 1)
            .build());
  }
}
