package org.cellherd.analysis.setpoint;

import java.util.Comparator;
import java.util.List;
import java.util.OptionalInt;
import java.util.stream.Collectors;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.setpoint.SetPoints.Point.Place;
import org.cellherd.pack.PackPlan;

/** Currents with their reasons: none above what any part bears. */
final class CurrentPoints {

  /** A trip that follows the charger's current this closely does not trip by itself. */
  private static final double BELOW_TRIP = 1 / PlanAudit.OVER_LOAD;

  private static final double GENTLE_C = 0.2;

  private final PackPlan plan;
  private final double health;
  private final List<CurrentLimit> charge;

  CurrentPoints(PackPlan plan, double health) {
    this.plan = plan;
    this.health = health;
    this.charge = CurrentLimit.ofCharge(plan, health);
  }

  List<SetPoints.Point> board() {
    List<CurrentLimit> discharge = CurrentLimit.ofDischarge(plan, health);
    return List.of(
        SetPoints.Point.amps(
            Place.CURRENT,
            "charge_trip_a",
            "charge over-current",
            trip(charge, plan.chargerMa()),
            why(charge, "charger", plan.chargerMa())),
        SetPoints.Point.amps(
            Place.CURRENT,
            "discharge_trip_a",
            "discharge over-current",
            trip(discharge, plan.loadMa()),
            why(discharge, "load", plan.loadMa())));
  }

  List<SetPoints.Point> charger() {
    double most = trip(charge, plan.chargerMa()) * BELOW_TRIP;
    double wanted =
        plan.chargerMa().isPresent()
            ? plan.chargerMa().getAsInt() / 1000.0
            : GENTLE_C * plan.ratedAh() * health;
    double amps = CurrentLimit.floor(Math.min(wanted, most));
    return List.of(
        SetPoints.Point.amps(
            Place.CHARGER, "charge_a", "charge current", amps, current(wanted, most)),
        SetPoints.Point.amps(
            Place.CHARGER, "tail_a", "charge ends below", plan.tailMa() / 1000.0, tail()));
  }

  private Why current(double wanted, double most) {
    if (plan.chargerMa().isEmpty()) {
      return new Why(
          CurrentLimit.shown(GENTLE_C) + " C; the plan names no charger (charger_a).",
          plan.chemistry().sheet().byTemperature().gentle());
    }
    return wanted <= most + 1e-9
        ? new Why("What the charger gives, below the trip.", "charger_a of the plan, as typed")
        : new Why(
            "The charger gives "
                + CurrentLimit.shown(wanted)
                + " A, too much: limit it, or use a smaller one.",
            least(charge).source());
  }

  private Why tail() {
    boolean isUsual = plan.tailMa() == Math.max(1, plan.ratedMah() / 20);
    return new Why(
        "At the charge voltage, the cells are full when the current has fallen to this.",
        isUsual ? "0.05 C, " + Why.PRACTICE : "tail_a of the plan, as typed");
  }

  private static double trip(List<CurrentLimit> limits, OptionalInt needMa) {
    double most = least(limits).amps();
    double wanted =
        needMa.isPresent() ? PlanAudit.OVER_LOAD * needMa.getAsInt() / 1000 : Double.MAX_VALUE;
    return CurrentLimit.floor(Math.min(most, wanted));
  }

  private static CurrentLimit least(List<CurrentLimit> limits) {
    return limits.stream().min(Comparator.comparingDouble(CurrentLimit::amps)).orElseThrow();
  }

  private static Why why(List<CurrentLimit> limits, String what, OptionalInt needMa) {
    CurrentLimit least = least(limits);
    String bear =
        "At most: "
            + limits.stream().map(CurrentLimit::words).collect(Collectors.joining(", "))
            + ".";
    if (needMa.isEmpty()) {
      return new Why("The weakest part rules. " + bear, least.source());
    }
    double need = needMa.getAsInt() / 1000.0;
    if (need * PlanAudit.OVER_LOAD <= least.amps()) {
      return new Why(
          "1.25 times the " + what + " of " + CurrentLimit.shown(need) + " A. " + bear,
          "ABYC E-11 and NEC, from memory");
    }
    return new Why(
        (need > least.amps() ? "The " + what + " of " : "Little room above the " + what + " of ")
            + CurrentLimit.shown(need)
            + (need > least.amps() ? " A is too much for this pack. " : " A. ")
            + bear,
        least.source());
  }
}
