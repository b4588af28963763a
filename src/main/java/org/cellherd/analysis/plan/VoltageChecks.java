package org.cellherd.analysis.plan;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.Spoken;

/** Charge voltage and the board's set-points against the chemistry and against our alarms. */
final class VoltageChecks {
  /** A trip this far beyond the cells' limit is no protection; common practice, no source. */
  private static final int FAR_MV = 150;

  private final PackPlan plan;
  private final CellLimits limits;
  private final PlanAudit.Alarms alarms;
  private final List<PlanCheck> found = new ArrayList<>();

  private VoltageChecks(PackPlan plan, PlanAudit.Alarms alarms) {
    this.plan = plan;
    this.limits = plan.limits();
    this.alarms = alarms;
  }

  static List<PlanCheck> of(PackPlan plan, PlanAudit.Alarms alarms) {
    VoltageChecks checks = new VoltageChecks(plan, alarms);
    checks.charge();
    checks.knee();
    plan.board().ifPresent(checks::board);
    return checks.found;
  }

  private void charge() {
    int mv = plan.chargeMvPerCell();
    int most = plan.chemistry() == Chemistry.LFP ? limits.warnHighMv() - 1 : limits.cutOffHighMv();
    Verdict otherwise = mv > limits.cutOffHighMv() ? Verdict.FAIL : Verdict.WARN;
    int told = mv > limits.cutOffHighMv() ? limits.cutOffHighMv() : most;
    add(
        "charge-voltage",
        mv,
        told,
        mv <= most ? Verdict.OK : otherwise,
        "The charge voltage is "
            + Spoken.volts(mv)
            + " a cell ("
            + Spoken.packVolts(plan.chargeMv())
            + "); above "
            + Spoken.volts(told)
            + " unequal cells run into their limit of "
            + Spoken.volts(limits.cutOffHighMv())
            + ".");
    boolean isLow = mv < limits.fullMv() && !plan.partialCharge();
    add(
        "charge-reaches-top",
        mv,
        limits.fullMv(),
        isLow ? Verdict.WARN : Verdict.OK,
        "The charge voltage is %s a cell; cells are full and boards balance from %s on."
            .formatted(Spoken.volts(mv), Spoken.volts(limits.fullMv())));
  }

  /** Where the curve is flat, all that is told of a knee would be chance. */
  private void knee() {
    AnalysisSettings levels = AnalysisSettings.of(plan);
    int knee = limits.kneeMv();
    if (levels.blindFromMv() < levels.blindToMv() && knee <= levels.blindToMv()) {
      add(
          "knee-above-plateau",
          knee,
          levels.blindToMv(),
          Verdict.FAIL,
          "knee_mv of "
              + Spoken.volts(knee)
              + " lies on the plateau, which reaches to "
              + Spoken.volts(levels.blindToMv())
              + " and where voltage says nothing about charge; leave knee_mv out, or set it"
              + " where the voltage begins to rise.");
    }
  }

  private void board(BoardRating board) {
    board.tripHighMv().ifPresent(this::tripHigh);
    board.tripLowMv().ifPresent(this::tripLow);
    board.bleedFromMv().ifPresent(this::bleed);
  }

  private void tripHigh(int trip) {
    int over = trip - limits.cutOffHighMv();
    add(
        "trip-high",
        trip,
        limits.cutOffHighMv(),
        over > FAR_MV ? Verdict.FAIL : over > 0 ? Verdict.WARN : Verdict.OK,
        "The board stops the charge with a cell at %s, the cells' limit is %s."
            .formatted(Spoken.volts(trip), Spoken.volts(limits.cutOffHighMv())));
    boolean isBelowCharge = trip <= plan.chargeMvPerCell();
    add(
        "trip-above-charge",
        trip,
        plan.chargeMvPerCell(),
        isBelowCharge ? Verdict.FAIL : Verdict.OK,
        "The board stops the charge with a cell at %s, the charger goes to %s a cell."
            .formatted(Spoken.volts(trip), Spoken.volts(plan.chargeMvPerCell())));
    alarm("high", "above", alarms.highMv(), "charge", trip, trip <= alarms.highMv());
  }

  private void tripLow(int trip) {
    int under = limits.cutOffLowMv() - trip;
    add(
        "trip-low",
        trip,
        limits.cutOffLowMv(),
        under > FAR_MV ? Verdict.FAIL : under > 0 ? Verdict.WARN : Verdict.OK,
        "The board stops the discharge with a cell at %s, the cells' limit is %s."
            .formatted(Spoken.volts(trip), Spoken.volts(limits.cutOffLowMv())));
    alarm("low", "below", alarms.lowMv(), "discharge", trip, trip >= alarms.lowMv());
  }

  /** Somebody is to be warned before the board stops what flows. */
  private void alarm(
      String side, String beyond, double mv, String flow, int trip, boolean isTooLate) {
    add(
        "alarm-before-trip-" + side,
        mv,
        trip,
        isTooLate ? Verdict.WARN : Verdict.OK,
        "The alert comes %s %s, the board stops the %s at %s%s"
            .formatted(
                beyond,
                Spoken.volts(mv),
                flow,
                Spoken.volts(trip),
                isTooLate ? ": it stops before anybody is warned." : "."));
  }

  private void bleed(int from) {
    boolean isNever = from >= plan.chargeMvPerCell();
    add(
        "bleed-below-charge",
        from,
        plan.chargeMvPerCell(),
        isNever ? Verdict.WARN : Verdict.OK,
        "The board bleeds from %s on, the charger goes to %s a cell."
            .formatted(Spoken.volts(from), Spoken.volts(plan.chargeMvPerCell())));
    add(
        "bleed-in-knee",
        from,
        limits.kneeMv(),
        from < limits.kneeMv() ? Verdict.WARN : Verdict.OK,
        "The board bleeds from "
            + Spoken.volts(from)
            + " on; below the knee at "
            + Spoken.volts(limits.kneeMv())
            + " voltages say nothing and bleeding does harm.");
  }

  private void add(String name, double value, double limit, Verdict verdict, String sentence) {
    found.add(new PlanCheck(name, verdict, value, limit, "mV", sentence));
  }
}
