package org.cellherd.analysis.setpoint;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.cellherd.analysis.plan.Copper;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Spoken;

/**
 * A part that bears so much current for ever.
 *
 * @param part such as {@code the fuse}
 * @param amps A
 * @param source where the number comes from
 */
record CurrentLimit(String part, double amps, String source) {

  /** What the pack may give. */
  static List<CurrentLimit> ofDischarge(PackPlan plan, double health) {
    List<CurrentLimit> limits = new ArrayList<>();
    cells(limits, plan, plan.cell().continuousMa(), health, "continuous_a");
    if (limits.isEmpty()) {
      limits.add(rate(plan, PlanAudit.DISCHARGE_C, health));
    }
    plan.cell()
        .peakMa()
        .ifPresent(
            ma ->
                limits.add(
                    new CurrentLimit(
                        "the cells' peak", plan.parallel() * ma / 1000.0, "[pack.cell] peak_a")));
    addParts(limits, plan);
    return limits;
  }

  /** What the pack may take. A cell's rating for discharge says nothing of its charge. */
  static List<CurrentLimit> ofCharge(PackPlan plan, double health) {
    List<CurrentLimit> limits = new ArrayList<>();
    cells(limits, plan, plan.cell().chargeMa(), health, "charge_a");
    if (limits.isEmpty()) {
      limits.add(rate(plan, PlanAudit.CHARGE_C, health));
      cells(limits, plan, plan.cell().continuousMa(), health, "continuous_a");
    }
    addParts(limits, plan);
    return limits;
  }

  private static void cells(
      List<CurrentLimit> limits, PackPlan plan, OptionalInt ma, double health, String key) {
    ma.ifPresent(
        each ->
            limits.add(
                new CurrentLimit(
                    plan.parallel() == 1
                        ? "the cells"
                        : Spoken.counted(plan.parallel(), "cell")
                            + " of "
                            + shown(each / 1000.0)
                            + " A",
                    plan.parallel() * each / 1000.0 * health,
                    "[pack.cell] " + key + " of the plan, as typed")));
  }

  private static CurrentLimit rate(PackPlan plan, double c, double health) {
    String part = shown(c) + " C of " + shown(plan.ratedAh() * health) + " Ah";
    return new CurrentLimit(part, c * plan.ratedAh() * health, Why.PRACTICE);
  }

  private static void addParts(List<CurrentLimit> limits, PackPlan plan) {
    plan.board()
        .ifPresent(
            b ->
                b.continuousMa()
                    .ifPresent(
                        ma ->
                            limits.add(
                                new CurrentLimit(
                                    "the board", ma / 1000.0, "[pack.board] continuous_a"))));
    plan.fuse()
        .ifPresent(
            f ->
                limits.add(
                    new CurrentLimit("the fuse", f.ratedMa() / 1000.0, "[pack.fuse] rated_a")));
    OptionalDouble wire = plan.wire().map(Copper::ampacityA).orElse(OptionalDouble.empty());
    if (wire.isPresent()) {
      boolean isTold = plan.wire().orElseThrow().ampacityMa().isPresent();
      limits.add(
          new CurrentLimit(
              "the wire",
              wire.getAsDouble(),
              isTold ? "[pack.wire] ampacity_a" : "ABYC E-11 table, from memory"));
    }
  }

  /** Three digits, never more than the value itself. */
  static double floor(double amps) {
    return new BigDecimal(amps).round(new MathContext(3, RoundingMode.FLOOR)).doubleValue();
  }

  /** Three digits, none that say nothing. */
  static String shown(double amps) {
    return new BigDecimal(amps)
        .round(new MathContext(amps >= 1000 ? 4 : 3))
        .stripTrailingZeros()
        .toPlainString();
  }

  /** Such as {@code 40 A (the fuse)}. */
  String words() {
    return shown(amps) + " A (" + part + ")";
  }
}
