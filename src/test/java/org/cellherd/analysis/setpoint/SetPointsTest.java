package org.cellherd.analysis.setpoint;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.OptionalDouble;
import org.assertj.core.api.SoftAssertions;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.Hot;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.plan.Copper;
import org.cellherd.analysis.plan.PlanAudit;
import org.cellherd.analysis.plan.PlanCheck;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

class SetPointsTest {

  static SetPoints.Watch watch(PackPlan plan) {
    AlertSettings alerts = Rules.defaults(plan);
    RuleSettings high = alerts.rule(CellHigh.ID);
    RuleSettings low = alerts.rule(CellLow.ID);
    return new SetPoints.Watch(
        new PlanAudit.Alarms(
            Math.min(high.number("warn_mv"), high.number("limit_mv")),
            Math.max(low.number("warn_mv"), low.number("limit_mv"))),
        alerts.rule(Hot.ID).number("warn_c"));
  }

  private static SetPoints of(PackPlan plan, double health) {
    return SetPoints.of(plan, health, SetPointsTest::watch);
  }

  static List<Long> seeds() {
    return java.util.stream.LongStream.range(0, 400).boxed().toList();
  }

  private static double value(SetPoints points, String key) {
    return points.point(key).value().orElseThrow();
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void levelsLieInOrder(long seed) {
    PackPlan plan = DrawnPlan.of(seed);
    SetPoints points = of(plan, 1);
    double charge = Math.ceil(value(points, "charge_mv") / plan.series());
    SoftAssertions.assertSoftly(
        soft -> {
          double high = value(points, "cell_trip_high_mv");
          double low = value(points, "cell_trip_low_mv");
          soft.assertThat(high).isLessThanOrEqualTo(plan.limits().cutOffHighMv());
          soft.assertThat(low).isGreaterThanOrEqualTo(plan.limits().cutOffLowMv());
          soft.assertThat(alarm(points, "cell_trip_high_mv", true)).isLessThan(high);
          soft.assertThat(alarm(points, "cell_trip_high_mv", true)).isGreaterThanOrEqualTo(charge);
          soft.assertThat(alarm(points, "cell_trip_low_mv", false)).isGreaterThan(low);
          soft.assertThat(value(points, "cell_release_high_mv")).isLessThan(high);
          soft.assertThat(value(points, "cell_release_low_mv"))
              .isGreaterThanOrEqualTo(alarm(points, "cell_trip_low_mv", false));
          soft.assertThat(value(points, "bleed_from_mv")).isLessThan(charge);
          soft.assertThat(value(points, "pack_trip_high_mv"))
              .isGreaterThan(value(points, "charge_mv"))
              .isLessThanOrEqualTo(plan.series() * high);
          soft.assertThat(value(points, "pack_trip_low_mv"))
              .isGreaterThanOrEqualTo(plan.series() * low);
          soft.assertThat(value(points, "pack_release_high_mv"))
              .isLessThan(value(points, "pack_trip_high_mv"));
          soft.assertThat(value(points, "pack_release_low_mv"))
              .isGreaterThan(value(points, "pack_trip_low_mv"));
        });
  }

  /** The alert as the sheet prints it beside a trip: what a reader takes from the page. */
  private static double alarm(SetPoints points, String key, boolean isHigh) {
    String said =
        points.point(key).reason().replaceAll("(?s).*Our alert comes at ([0-9.]+) V.*", "$1");
    double mv = Double.parseDouble(said) * 1000;
    boolean isLeftToOwner = points.point(key).reason().contains("warn_mv under");
    PlanAudit.Alarms ours = watch(points.plan()).alarms();
    if (!isLeftToOwner) {
      assertThat(mv)
          .isCloseTo(
              isHigh ? ours.highMv() : ours.lowMv(), org.assertj.core.data.Offset.offset(0.6));
    }
    return mv;
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void noCurrentIsAboveWhatAnyPartBears(long seed) {
    PackPlan plan = DrawnPlan.of(seed);
    double health = seed % 2 == 0 ? 1 : 0.7;
    SetPoints points = of(plan, health);
    for (String key : List.of("charge_trip_a", "discharge_trip_a", "charge_a")) {
      double amps = value(points, key);
      assertThat(amps).as(key).isGreaterThan(0);
      plan.fuse().ifPresent(f -> assertThat(amps).isLessThanOrEqualTo(f.ratedMa() / 1000.0));
      plan.board()
          .ifPresent(
              b ->
                  b.continuousMa()
                      .ifPresent(ma -> assertThat(amps).isLessThanOrEqualTo(ma / 1000.0)));
      OptionalDouble wire = plan.wire().map(Copper::ampacityA).orElse(OptionalDouble.empty());
      wire.ifPresent(a -> assertThat(amps).isLessThanOrEqualTo(a));
    }
    double cells = plan.parallel() * health / 1000;
    plan.cell()
        .continuousMa()
        .ifPresent(
            ma -> assertThat(value(points, "discharge_trip_a")).isLessThanOrEqualTo(cells * ma));
    plan.cell()
        .chargeMa()
        .ifPresentOrElse(
            ma -> assertThat(value(points, "charge_trip_a")).isLessThanOrEqualTo(cells * ma),
            () ->
                assertThat(value(points, "charge_trip_a"))
                    .isLessThanOrEqualTo(0.5 * plan.ratedAh() * health));
    assertThat(value(points, "charge_a")).isLessThanOrEqualTo(value(points, "charge_trip_a"));
  }

  @ParameterizedTest
  @EnumSource(Chemistry.class)
  void aBarePlanWithTheProposalsPassesTheCheck(Chemistry chemistry) {
    PackPlan bare =
        PackPlan.builder("p", chemistry, 8, 2, 40_000)
            .board(
                new PackPlan.BoardRating(
                    "b", told(0), told(0), told(4700), told(1000), told(0), told(1200)))
            .build();

    SetPoints points = of(bare, 1);

    PlanAudit audit = PlanAudit.of(points.plan(), watch(points.plan()).alarms());
    assertThat(audit.checks())
        .filteredOn(c -> c.unit().equals("mV"))
        .hasSizeGreaterThan(6)
        .allMatch(c -> c.verdict() == PlanCheck.Verdict.OK);
  }

  @Test
  void whatThePlanHasIsKeptWhereItFits() {
    PackPlan plan =
        PackPlan.builder("p", Chemistry.LFP, 4, 6, 27_000)
            .chargeMv(4 * 3500)
            .board(
                new PackPlan.BoardRating(
                    "b", told(40_000), told(0), told(3640), told(2600), told(0), told(3420)))
            .build();

    SetPoints points = of(plan, 1);

    assertThat(points.plan()).isEqualTo(plan);
    assertThat(points.point("cell_trip_high_mv").source()).contains("trip_high_mv of the plan");
    assertThat(value(points, "cell_trip_low_mv")).isEqualTo(2600);
    assertThat(value(points, "bleed_from_mv")).isEqualTo(3420);
  }

  /** Six cells of 10 A in parallel bear 60 A (common practice, no source). */
  @Test
  void sixCellsOfTenAmperesBearSixty() {
    PackPlan plan =
        PackPlan.builder("p", Chemistry.LFP, 4, 6, 27_000)
            .cell(new PackPlan.CellRating(told(10_000), told(0), told(0)))
            .build();

    SetPoints points = of(plan, 1);

    assertThat(value(points, "discharge_trip_a")).isEqualTo(60);
    assertThat(value(points, "charge_trip_a")).isEqualTo(13.5);
    assertThat(value(of(plan, 0.5), "discharge_trip_a")).isEqualTo(30);
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void everyNumberHasItsReasonAndSource(long seed) {
    SetPoints points = of(DrawnPlan.of(seed), 1);

    assertThat(points.points())
        .hasSize(25)
        .allMatch(p -> p.reason().length() > 5 && p.source().length() > 5)
        .allMatch(p -> !(p.reason() + p.source() + p.name()).contains("safe"));
  }

  private static java.util.OptionalInt told(int value) {
    return value == 0 ? java.util.OptionalInt.empty() : java.util.OptionalInt.of(value);
  }
}
