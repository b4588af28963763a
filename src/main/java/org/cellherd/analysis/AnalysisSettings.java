package org.cellherd.analysis;

import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.CellSheet;
import org.cellherd.pack.PackPlan;

/**
 * Levels and options of the analyses. The defaults come from the plan; the {@code with} methods are
 * what a file may change.
 *
 * @param kneeMv the upper knee while charging begins here, mV a cell (LFP 3400: common practice)
 * @param lowKneeMv the lower knee ends here, mV a cell
 * @param blindFromMv resting voltages between here and {@code blindToMv} say nothing about charge,
 *     mV a cell; equal to {@code blindToMv} where the chemistry has no plateau
 * @param blindToMv see {@code blindFromMv}
 * @param bleedFromMv cells may bleed from here on, mV, unless the board's own set-point is told
 * @param balancedMv spread that counts as balanced, mV (common practice, no source)
 * @param balancedHoldMs held this long, ms (common practice, no source)
 * @param deadZoneMa current below which the board's print is not believed, mA; empty = found out
 * @param zone days begin at midnight here
 * @param sensors what the owner's meter has shown of the board's errors
 */
public record AnalysisSettings(
    int kneeMv,
    int lowKneeMv,
    int blindFromMv,
    int blindToMv,
    int bleedFromMv,
    int balancedMv,
    long balancedHoldMs,
    OptionalInt deadZoneMa,
    ZoneId zone,
    SensorErrors sensors) {

  /** Accuracy of a board's cell voltages, mV: nothing tighter is claimed (common practice). */
  public static final int BOARD_FLOOR_MV = 5;

  /** Spread that counts as balanced, mV (common practice, no source). */
  public static final int BALANCED_MV = 10;

  /** Refuses levels that cannot be. */
  public AnalysisSettings {
    if (lowKneeMv >= kneeMv || blindFromMv > blindToMv) {
      throw new IllegalArgumentException(
          "knees " + lowKneeMv + ", " + kneeMv + " and blind range must be in order");
    }
  }

  public static AnalysisSettings of(PackPlan plan) {
    CellLimits limits = plan.limits();
    CellSheet.Plateau plateau = plan.chemistry().plateau();
    return new AnalysisSettings(
        limits.kneeMv(),
        plateau.lowKneeMv(),
        plateau.blindFromMv(),
        plateau.blindToMv(),
        plan.board().flatMap(b -> box(b.bleedFromMv())).orElse(limits.kneeMv()),
        BALANCED_MV,
        30 * 60_000L,
        OptionalInt.empty(),
        ZoneOffset.UTC,
        SensorErrors.UNKNOWN);
  }

  private static Optional<Integer> box(OptionalInt value) {
    return value.isPresent() ? Optional.of(value.getAsInt()) : Optional.empty();
  }

  /** The same with a dead zone that is known, mA. */
  public AnalysisSettings withDeadZoneMa(int value) {
    return with(balancedMv, balancedHoldMs, OptionalInt.of(value), zone, sensors);
  }

  /** The same with days that begin at midnight in a zone. */
  public AnalysisSettings withZone(ZoneId value) {
    return with(balancedMv, balancedHoldMs, deadZoneMa, value, sensors);
  }

  /** The same with a spread in mV that counts as balanced when held so long. */
  public AnalysisSettings withBalanced(int spreadMv, long holdMs) {
    return with(spreadMv, holdMs, deadZoneMa, zone, sensors);
  }

  /** The same with what a meter has shown of the board's errors. */
  public AnalysisSettings withSensors(SensorErrors known) {
    return with(balancedMv, balancedHoldMs, deadZoneMa, zone, known);
  }

  private AnalysisSettings with(
      int newBalancedMv,
      long newHoldMs,
      OptionalInt newDeadZoneMa,
      ZoneId newZone,
      SensorErrors newSensors) {
    return new AnalysisSettings(
        kneeMv,
        lowKneeMv,
        blindFromMv,
        blindToMv,
        bleedFromMv,
        newBalancedMv,
        newHoldMs,
        newDeadZoneMa,
        newZone,
        newSensors);
  }
}
