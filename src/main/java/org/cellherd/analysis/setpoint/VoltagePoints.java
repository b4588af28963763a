package org.cellherd.analysis.setpoint;

import java.util.List;
import java.util.OptionalDouble;
import org.cellherd.analysis.setpoint.SetPoints.Point.Place;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.Spoken;

/** Voltages of cells and pack with their reasons. */
final class VoltagePoints {

  /** A board's own error is some millivolts; less would bleed its error. */
  private static final int DIFFERENCE_MV = 10;

  private final CellLevels levels;
  private final PackPlan plan;
  private final CellLimits limits;

  VoltagePoints(CellLevels levels) {
    this.levels = levels;
    this.plan = levels.plan;
    this.limits = levels.limits;
  }

  List<SetPoints.Point> board() {
    return List.of(
        SetPoints.Point.cell(
            Place.CELL, "cell_trip_high_mv", "over-voltage trip", levels.tripHighMv, tripHigh()),
        SetPoints.Point.cell(
            Place.CELL,
            "cell_release_high_mv",
            "over-voltage release",
            levels.releaseHighMv(),
            practice(
                "The knee: a cell that still rests above it would trip again at once, all night.")),
        SetPoints.Point.cell(
            Place.CELL, "cell_trip_low_mv", "under-voltage trip", levels.tripLowMv, tripLow()),
        SetPoints.Point.cell(
            Place.CELL,
            "cell_release_low_mv",
            "under-voltage release",
            levels.releaseLowMv(),
            practice("Above what an empty cell rebounds to without load: only a charge lifts it.")),
        SetPoints.Point.pack(
            Place.PACK,
            "pack_trip_high_mv",
            "over-voltage trip",
            levels.packTripHighMv(),
            practice(
                "Between the charge and "
                    + plan.series()
                    + " x the cell's trip: stops a charger that is set too high.")),
        SetPoints.Point.pack(
            Place.PACK,
            "pack_release_high_mv",
            "over-voltage release",
            plan.series() * levels.releaseHighMv(),
            practice(plan.series() + " x the cell's release.")),
        SetPoints.Point.pack(
            Place.PACK,
            "pack_trip_low_mv",
            "under-voltage trip",
            levels.packTripLowMv(),
            practice(
                "Between "
                    + plan.series()
                    + " x the cell's trip and our alert: equal cells stop before any is at its limit.")),
        SetPoints.Point.pack(
            Place.PACK,
            "pack_release_low_mv",
            "under-voltage release",
            plan.series() * levels.releaseLowMv(),
            practice(plan.series() + " x the cell's release.")));
  }

  private Why tripHigh() {
    CellLimits usual = plan.chemistry().limits();
    boolean isLimit = levels.tripHighMv == limits.cutOffHighMv();
    String alert =
        "Our alert comes at "
            + Spoken.volts(levels.alarms.highMv())
            + (levels.isAlarmHighMoved
                ? " if you put it there: warn_mv under [alert.cell_high]."
                : " first.");
    return new Why(
        (isLimit ? "The cell's limit. " : "As set in the plan, below the cell's limit. ")
            + alert
            + CellLevels.unlike(levels.typedOf(BoardRating::tripHighMv), levels.tripHighMv),
        isLimit
            ? Why.ofLimit(
                plan.chemistry(), limits.cutOffHighMv(), usual.cutOffHighMv(), "cut_off_high_mv")
            : "[pack.board] trip_high_mv of the plan, as typed");
  }

  private Why tripLow() {
    CellLimits usual = plan.chemistry().limits();
    boolean isLimit = levels.tripLowMv == limits.cutOffLowMv();
    String alert =
        "Our alert comes at "
            + Spoken.volts(levels.alarms.lowMv())
            + (levels.isAlarmLowMoved
                ? " if you put it there: warn_mv under [alert.cell_low]."
                : " first.");
    return new Why(
        (isLimit ? "The cell's limit. " : "As set in the plan, above the cell's limit. ")
            + alert
            + CellLevels.unlike(levels.typedOf(BoardRating::tripLowMv), levels.tripLowMv),
        isLimit
            ? Why.ofLimit(
                plan.chemistry(), limits.cutOffLowMv(), usual.cutOffLowMv(), "cut_off_low_mv")
            : "[pack.board] trip_low_mv of the plan, as typed");
  }

  List<SetPoints.Point> balance() {
    boolean isTyped =
        levels.typedOf(BoardRating::bleedFromMv).orElse(-1) == levels.bleedFromMv
            && levels.bleedFromMv != limits.kneeMv();
    return List.of(
        SetPoints.Point.cell(
            Place.BALANCE,
            "bleed_from_mv",
            "balance from, while charging",
            levels.bleedFromMv,
            new Why(
                "The upper knee: below it voltages say nothing of the charge and bleeding does harm."
                    + CellLevels.unlike(
                        levels.typedOf(BoardRating::bleedFromMv), levels.bleedFromMv),
                isTyped ? "[pack.board] bleed_from_mv of the plan, as typed" : Why.PRACTICE)),
        SetPoints.Point.cell(
            Place.BALANCE,
            "bleed_difference_mv",
            "balance difference",
            DIFFERENCE_MV,
            practice(
                "Resting units within 5 to 10 mV are well matched; less bleeds the board's own error.")));
  }

  List<SetPoints.Point> charger() {
    int most = plan.series() * (limits.nominalMv() + limits.kneeMv()) / 2;
    boolean isIron = plan.chemistry() == Chemistry.LFP;
    return List.of(
        SetPoints.Point.pack(
            Place.CHARGER, "charge_mv", "charge voltage", plan.chargeMv(), levels.charge()),
        SetPoints.Point.none(
            Place.CHARGER,
            "float_mv",
            "float",
            "none",
            practice(
                "Lithium cells age at the top"
                    + (isIron ? " and need no float" : "")
                    + "; a charger that must float: "
                    + Spoken.packVolts(most)
                    + " at most, below the knee.")));
  }

  /** The charge at which a pack is put away. */
  SetPoints.Point storage() {
    int low = plan.chemistry().storedMv().get(0);
    int high = plan.chemistry().storedMv().get(1);
    Why why =
        practice(
            "About half full, cool and dry; look again after three months. By counted Ah where"
                + " voltage says little.");
    if (low <= levels.releaseLowMv() || high >= levels.bleedFromMv) {
      return SetPoints.Point.none(Place.STORAGE, "storage_mv", "storage level", "50 % by Ah", why);
    }
    return new SetPoints.Point(
        Place.STORAGE,
        "storage_mv",
        "storage level, a cell at rest",
        OptionalDouble.of((low + high) / 2.0),
        "mV",
        Spoken.number(low / 1000.0, 2) + " to " + Spoken.packVolts(high),
        why.reason(),
        why.source());
  }

  private static Why practice(String reason) {
    return new Why(reason, Why.PRACTICE);
  }
}
