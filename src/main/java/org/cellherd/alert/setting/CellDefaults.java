package org.cellherd.alert.setting;

import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.alert.Priority;
import org.cellherd.alert.RuleId;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;

/**
 * Defaults of the rules on cell voltages and current. Delays of 5 s and 10 s, 60 s off-delay and a
 * deadband of 10 mV are common practice, no source, in the spirit of IEC 62682's starting values.
 */
final class CellDefaults {
  private static final double LARGE_MV = 6000;

  /** A charger at its voltage is no alarm: cells scatter by this much around their share. */
  private static final int CHARGE_SCATTER_MV = 20;

  private static final int LFP_FROST_MV = 500;

  private CellDefaults() {}

  static RuleSettings cellHigh(PackPlan plan) {
    CellLimits limits = plan.limits();
    int above = plan.chargeMvPerCell() + CHARGE_SCATTER_MV;
    return Sheet.of(RuleId.CELL_HIGH, Priority.CRITICAL)
        .number("limit_mv", highLimit(plan), 0, LARGE_MV, "critical above; never below charge")
        .number("warn_mv", Math.max(limits.warnHighMv(), above), 0, LARGE_MV, "warning above")
        .number("deadband_mv", 10, 0, 500, "over only this far below the limit")
        .delays(5, 60)
        .repeatedAfter(6);
  }

  /** The plan's highest voltage, or the charger's with its scatter where that is higher. */
  static int highLimit(PackPlan plan) {
    int cutOff = plan.limits().cutOffHighMv();
    int charge = plan.chargeMvPerCell();
    return charge + CHARGE_SCATTER_MV / 2 < cutOff ? cutOff : charge + CHARGE_SCATTER_MV;
  }

  static RuleSettings cellLow(PackPlan plan) {
    return Sheet.of(RuleId.CELL_LOW, Priority.CRITICAL)
        .number("limit_mv", plan.limits().cutOffLowMv(), 0, LARGE_MV, "critical below")
        .number(
            "frost_mv", frostMv(plan), 0, 1000, "limit lower by this while a cell is below 0 degC")
        .number("warn_mv", plan.limits().warnLowMv(), 0, LARGE_MV, "warning below")
        .number("deadband_mv", 10, 0, 500, "over only this far above the limit")
        .delays(10, 60)
        .repeatedAfter(6);
  }

  /**
   * An LFP cell may be drawn to 2.0 V below 0 °C where 2.5 V is its limit above (published data
   * sheet of a 304 Ah prismatic cell). A plan with a limit of its own keeps it at every
   * temperature.
   */
  private static int frostMv(PackPlan plan) {
    boolean isUsual = plan.limits().cutOffLowMv() == Chemistry.LFP.limits().cutOffLowMv();
    return plan.chemistry() == Chemistry.LFP && isUsual ? LFP_FROST_MV : 0;
  }

  static RuleSettings limitAhead(PackPlan plan) {
    return Sheet.of(RuleId.LIMIT_AHEAD, Priority.WARNING)
        .number("limit_min", 10, 0.5, 240, "warns when a cell reaches its limit in less")
        .number("deadband_min", 5, 0, 240, "over only this much later")
        .number("above_mv", 40, 0, 2000, "charging: a cell this far above the median")
        .number("rate_mv_per_min", 2, 0.1, 1000, "slower changes are not looked at")
        .number("high_mv", highLimit(plan), 0, LARGE_MV, "the limit ahead while charging")
        .number("low_mv", plan.limits().cutOffLowMv(), 0, LARGE_MV, "the limit while discharging")
        .delays(60, 120)
        .repeatedAfter(0);
  }

  static RuleSettings runner(PackPlan plan) {
    return Sheet.of(RuleId.RUNNER, Priority.CRITICAL)
        .number("from_mv", plan.limits().fullMv(), 0, LARGE_MV, "the cell is at least this high")
        .number("above_mv", 80, 5, 2000, "and this far above the median")
        .number("rate_mv_per_min", 5, 0.1, 1000, "and rises faster than this")
        .number("deadband_mv", 20, 0, 500, "over only when nearer to the median by this much")
        .delays(10, 60)
        .repeatedAfter(6);
  }

  static RuleSettings bounce() {
    return Sheet.of(RuleId.BOUNCE, Priority.WARNING)
        .number("trips_count", 3, 2, 100, "so many stops of the charge within an hour")
        .delays(0, 0)
        .repeatedAfter(0);
  }

  static RuleSettings imbalance() {
    return Sheet.of(RuleId.IMBALANCE, Priority.WARNING)
        .number("growth_pct", 2, 0.1, 50, "lead grown by this share of the rated capacity")
        .number("costs_pct", 5, 0.5, 50, "balancing would bring this share of the rated capacity")
        .number("least_pct", 0.5, 0, 50, "a stalled lead below this share is not told")
        .delays(1800, 3600)
        .repeatedAfter(24);
  }

  static RuleSettings spread() {
    return Sheet.of(RuleId.SPREAD, Priority.WARNING)
        .number("limit_mv", 100, 1, 2000, "highest minus lowest cell at the top, once balanced")
        .number("deadband_mv", 20, 0, 1000, "over only this much below")
        .delays(600, 600)
        .repeatedAfter(24);
  }

  /** No limit where no rating is told: a current that no pack reaches. */
  private static final double UNTOLD_A = 100_000;

  static RuleSettings overCurrent(PackPlan plan) {
    double rated = ratedA(plan);
    return Sheet.of(RuleId.OVER_CURRENT, Priority.CRITICAL)
        .number("limit_a", peakA(plan, rated), 0.01, UNTOLD_A, "critical above, either direction")
        .number("warn_a", rated, 0.01, UNTOLD_A, "warning above: the weakest rating of the plan")
        .number("deadband_pct", 5, 0, 50, "over only this much below")
        .number("warn_delay_s", 30, 0, 3600, "a warning needs the current for this long")
        .delays(5, 60)
        .repeatedAfter(6);
  }

  private static double ratedA(PackPlan plan) {
    double board = amps(plan.board().map(PackPlan.BoardRating::continuousMa));
    double cells = plan.parallel() * amps(Optional.of(plan.cell().continuousMa()));
    double fuse = plan.fuse().map(f -> f.ratedMa() / 1000.0).orElse(UNTOLD_A);
    return Math.min(UNTOLD_A, Math.min(fuse, Math.min(board, cells)));
  }

  private static double peakA(PackPlan plan, double rated) {
    double board = amps(plan.board().map(PackPlan.BoardRating::tripMa));
    double cells = plan.parallel() * amps(Optional.of(plan.cell().peakMa()));
    double told = Math.min(board, cells);
    return Math.min(UNTOLD_A, told < UNTOLD_A ? told : rated * 1.25);
  }

  private static double amps(Optional<OptionalInt> ma) {
    OptionalInt told = ma.orElse(OptionalInt.empty());
    return told.isPresent() ? told.getAsInt() / 1000.0 : UNTOLD_A;
  }
}
