package org.cellherd.analysis;

import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.List;
import java.util.OptionalInt;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;

/**
 * Levels and options of the analyses. Everything has a default from the plan; a file may change
 * each.
 *
 * @param kneeMv the upper knee while charging begins here, mV a cell (LFP 3400: common practice)
 * @param lowKneeMv the lower knee ends here, mV a cell (LFP 3100: common practice)
 * @param blindFromMv resting voltages between here and {@code blindToMv} say nothing about charge,
 *     mV a cell; equal to {@code blindToMv} where the chemistry has no plateau
 * @param blindToMv see {@code blindFromMv} (LFP 3200 to 3370: common practice, agrees with the
 *     curve of Safari and Delacourt, J. Electrochem. Soc. 158 (2011) A562)
 * @param crossingMv levels at which the charge counted so far is noted for each cell, rising, mV
 * @param crossingHoldMs a level counts as crossed when held this long, ms
 * @param bleedFromMv cells may bleed from here on, mV, unless the board's own set-point is told
 * @param balancedMv spread that counts as balanced, mV (common practice, no source)
 * @param balancedHoldMs held this long, ms (common practice, no source)
 * @param oneChargeMs a charge that stops and goes on within this time is one charge, ms
 * @param deadZoneMa current below which the board's print is not believed, mA; empty = found out
 * @param efficiency share of the charged Ah that can be drawn again; 1.0 unless pessimism is asked
 *     for (Batteries 2019, 5(3), 57: practically all stored charge came back at 0.2 to 0.8C)
 * @param boardFloorMv accuracy of the board's cell voltages, mV: nothing tighter is claimed
 * @param zone days begin at midnight here
 */
public record AnalysisSettings(
    int kneeMv,
    int lowKneeMv,
    int blindFromMv,
    int blindToMv,
    List<Integer> crossingMv,
    long crossingHoldMs,
    int bleedFromMv,
    int balancedMv,
    long balancedHoldMs,
    long oneChargeMs,
    OptionalInt deadZoneMa,
    double efficiency,
    int boardFloorMv,
    ZoneId zone) {

  /** Refuses levels that cannot be. */
  public AnalysisSettings {
    crossingMv = List.copyOf(crossingMv);
    if (crossingMv.isEmpty() || crossingMv.size() > MOST_LEVELS) {
      throw new IllegalArgumentException(
          crossingMv.size() + " crossing levels, allowed 1 to " + MOST_LEVELS);
    }
    for (int i = 1; i < crossingMv.size(); i++) {
      if (crossingMv.get(i) <= crossingMv.get(i - 1)) {
        throw new IllegalArgumentException("crossing levels must rise, got " + crossingMv);
      }
    }
    if (lowKneeMv >= kneeMv || blindFromMv > blindToMv) {
      throw new IllegalArgumentException(
          "knees " + lowKneeMv + ", " + kneeMv + " and blind range must be in order");
    }
    if (!(efficiency > 0.5 && efficiency <= 1.0)) {
      throw new IllegalArgumentException("efficiency " + efficiency + ", allowed 0.5 to 1");
    }
  }

  /** Most crossing levels. */
  public static final int MOST_LEVELS = 16;

  /** The defaults for a pack. */
  public static AnalysisSettings of(PackPlan plan) {
    CellLimits limits = plan.limits();
    boolean isFlat = plan.chemistry() == Chemistry.LFP;
    return new AnalysisSettings(
        limits.kneeMv(),
        isFlat ? 3100 : (limits.warnLowMv() + limits.nominalMv()) / 2,
        isFlat ? 3200 : limits.nominalMv(),
        isFlat ? 3370 : limits.nominalMv(),
        crossings(plan.chemistry()),
        10_000,
        plan.board().flatMap(b -> box(b.bleedFromMv())).orElse(limits.kneeMv()),
        10,
        30 * 60_000L,
        2 * 3_600_000L,
        OptionalInt.empty(),
        1.0,
        5,
        ZoneOffset.UTC);
  }

  private static java.util.Optional<Integer> box(OptionalInt value) {
    return value.isPresent() ? java.util.Optional.of(value.getAsInt()) : java.util.Optional.empty();
  }

  private static List<Integer> crossings(Chemistry chemistry) {
    return switch (chemistry) {
      case LFP -> List.of(3380, 3400, 3420, 3450, 3475, 3500);
      case NMC, NCA -> List.of(3950, 4000, 4050, 4080, 4100, 4130);
      case LTO -> List.of(2450, 2500, 2550, 2600, 2650);
      case SODIUM_ION -> List.of(3600, 3650, 3700, 3750, 3800, 3850);
    };
  }

  /** The same with a dead zone that is known, mA. */
  public AnalysisSettings withDeadZoneMa(int value) {
    return new AnalysisSettings(
        kneeMv,
        lowKneeMv,
        blindFromMv,
        blindToMv,
        crossingMv,
        crossingHoldMs,
        bleedFromMv,
        balancedMv,
        balancedHoldMs,
        oneChargeMs,
        OptionalInt.of(value),
        efficiency,
        boardFloorMv,
        zone);
  }

  /** The same with days that begin at midnight in a zone. */
  public AnalysisSettings withZone(ZoneId value) {
    return new AnalysisSettings(
        kneeMv,
        lowKneeMv,
        blindFromMv,
        blindToMv,
        crossingMv,
        crossingHoldMs,
        bleedFromMv,
        balancedMv,
        balancedHoldMs,
        oneChargeMs,
        deadZoneMa,
        efficiency,
        boardFloorMv,
        value);
  }

  /** The same with a spread in mV that counts as balanced when held so long. */
  public AnalysisSettings withBalanced(int spreadMv, long holdMs) {
    return new AnalysisSettings(
        kneeMv,
        lowKneeMv,
        blindFromMv,
        blindToMv,
        crossingMv,
        crossingHoldMs,
        bleedFromMv,
        spreadMv,
        holdMs,
        oneChargeMs,
        deadZoneMa,
        efficiency,
        boardFloorMv,
        zone);
  }

  /** The same with another accuracy of the board, mV. */
  public AnalysisSettings withBoardFloorMv(int value) {
    return new AnalysisSettings(
        kneeMv,
        lowKneeMv,
        blindFromMv,
        blindToMv,
        crossingMv,
        crossingHoldMs,
        bleedFromMv,
        balancedMv,
        balancedHoldMs,
        oneChargeMs,
        deadZoneMa,
        efficiency,
        value,
        zone);
  }
}
