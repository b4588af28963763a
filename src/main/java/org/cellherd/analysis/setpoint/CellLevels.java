package org.cellherd.analysis.setpoint;

import java.util.OptionalInt;
import java.util.function.Function;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.Spoken;

/**
 * The voltages of one cell, chosen so that they lie in order: the board's trip beyond our alert,
 * our alert beyond the charge, the charge beyond the start of balancing. What the plan has is kept
 * where it fits.
 */
final class CellLevels {

  /** Cells scatter by this around their share of the charge voltage; as the alerts take it, mV. */
  static final int SCATTER_MV = 20;

  final PackPlan plan;
  final CellLimits limits;
  final int chargeMv;
  final int tripHighMv;
  final int tripLowMv;
  final int bleedFromMv;
  final PlanAudit.Alarms alarms;
  final boolean isAlarmHighMoved;
  final boolean isAlarmLowMoved;
  private final PackPlan typed;

  CellLevels(PackPlan typed, Function<PackPlan, PlanAudit.Alarms> alarmsOf) {
    this.typed = typed;
    this.limits = typed.limits();
    this.chargeMv = keepsCharge() ? typed.chargeMvPerCell() : proposedCharge();
    PackPlan charged = keepsCharge() ? typed : withCharge(typed, chargeMv);
    PlanAudit.Alarms told = alarmsOf.apply(charged);
    this.tripHighMv = tripHigh(told.highMv());
    this.tripLowMv = tripLow(told.lowMv());
    this.bleedFromMv = bleedFrom();
    boolean isHighFree = told.highMv() > chargeMv && told.highMv() < tripHighMv;
    boolean isLowFree = told.lowMv() > tripLowMv && told.lowMv() <= limits.nominalMv();
    this.isAlarmHighMoved = !isHighFree;
    this.isAlarmLowMoved = !isLowFree;
    this.alarms =
        new PlanAudit.Alarms(
            isHighFree ? told.highMv() : (chargeMv + tripHighMv) / 2.0,
            isLowFree ? told.lowMv() : tripLowMv + (limits.nominalMv() - tripLowMv) / 4.0);
    this.plan = withBoard(charged);
  }

  private boolean keepsCharge() {
    int mv = typed.chargeMvPerCell();
    return mv <= mostCharge() && (mv >= limits.fullMv() || typed.partialCharge());
  }

  private int mostCharge() {
    return limits.warnHighMv() - SCATTER_MV;
  }

  /** Half way from full to the warning, in steps of 5 mV. */
  private int proposedCharge() {
    return Math.min(mostCharge(), (limits.fullMv() + limits.warnHighMv()) / 10 * 5);
  }

  private static PackPlan withCharge(PackPlan plan, int mv) {
    return plan.toBuilder().chargeMv(mv * plan.series()).build();
  }

  private int tripHigh(double alarmMv) {
    OptionalInt set = typed.board().map(BoardRating::tripHighMv).orElse(OptionalInt.empty());
    int most = limits.cutOffHighMv();
    boolean fits = set.isPresent() && set.getAsInt() > Math.max(alarmMv, chargeMv + 1);
    return fits && set.getAsInt() <= most ? set.getAsInt() : most;
  }

  private int tripLow(double alarmMv) {
    OptionalInt set = typed.board().map(BoardRating::tripLowMv).orElse(OptionalInt.empty());
    int least = limits.cutOffLowMv();
    return set.isPresent() && set.getAsInt() >= least && set.getAsInt() < alarmMv
        ? set.getAsInt()
        : least;
  }

  private int bleedFrom() {
    OptionalInt set = typed.board().map(BoardRating::bleedFromMv).orElse(OptionalInt.empty());
    boolean fits =
        set.isPresent() && set.getAsInt() >= limits.kneeMv() && set.getAsInt() < chargeMv;
    return fits ? set.getAsInt() : Math.min(limits.kneeMv(), chargeMv - 10);
  }

  private PackPlan withBoard(PackPlan charged) {
    return charged
        .board()
        .map(
            b ->
                charged.toBuilder()
                    .board(
                        new BoardRating(
                            b.name(),
                            b.continuousMa(),
                            b.tripMa(),
                            OptionalInt.of(tripHighMv),
                            OptionalInt.of(tripLowMv),
                            b.bleedMa(),
                            OptionalInt.of(bleedFromMv)))
                    .build())
        .orElse(charged);
  }

  /** A cell that relaxes to here is no longer at its top. */
  int releaseHighMv() {
    return Math.min(limits.kneeMv(), chargeMv);
  }

  /** Above what an unloaded cell rebounds to: only a charge brings it here. */
  int releaseLowMv() {
    return (int) Math.ceil((alarms.lowMv() + limits.nominalMv()) / 2);
  }

  /** The charge ends in the middle between its voltage and the trips of single cells, mV. */
  int packTripHighMv() {
    return plan.series() * (chargeMv + tripHighMv) / 2;
  }

  int packTripLowMv() {
    return (int) (plan.series() * (tripLowMv + alarms.lowMv()) / 2);
  }

  Why charge() {
    if (keepsCharge()) {
      boolean isUsual = typed.chargeMv() == typed.series() * typed.chemistry().chargeMv();
      return new Why(
          "%s a cell: full from %s on, and room below the alert for cells that run ahead."
              .formatted(Spoken.volts(chargeMv), Spoken.volts(limits.fullMv())),
          isUsual ? Why.PRACTICE : "charge_mv of the plan, as typed");
    }
    return new Why(
        Spoken.volts(chargeMv)
            + " a cell, between full and the warning at "
            + Spoken.volts(limits.warnHighMv())
            + "; the plan has "
            + Spoken.volts(typed.chargeMvPerCell())
            + ": put charge_mv = "
            + plan.chargeMv()
            + " into the plan.",
        Why.PRACTICE);
  }

  /** What the plan has elsewhere, as a clause; empty where it has nothing else. */
  static String unlike(OptionalInt set, int proposed) {
    return set.isPresent() && set.getAsInt() != proposed
        ? " The plan has " + Spoken.volts(set.getAsInt()) + ": change it there, too."
        : "";
  }

  OptionalInt typedOf(Function<BoardRating, OptionalInt> key) {
    return typed.board().map(key).orElse(OptionalInt.empty());
  }
}
