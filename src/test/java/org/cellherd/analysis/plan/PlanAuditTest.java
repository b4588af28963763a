package org.cellherd.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.OptionalInt;
import org.assertj.core.data.Offset;
import org.cellherd.analysis.plan.PlanCheck.Verdict;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.PackPlan.CellRating;
import org.cellherd.pack.PackPlan.FuseRating;
import org.cellherd.pack.PackPlan.Wire;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PlanAuditTest {
  private static final PlanAudit.Alarms ALARMS = new PlanAudit.Alarms(3650, 2500);

  private static PackPlan.Builder sixteen() {
    return PackPlan.builder("p", Chemistry.LFP, 16, 1, 280_000).chargeMv(16 * 3500);
  }

  private static BoardRating board(int continuousA, int tripA, int highMv, int lowMv, int bleedMv) {
    return new BoardRating(
        "b",
        told(continuousA * 1000),
        told(tripA * 1000),
        told(highMv),
        told(lowMv),
        OptionalInt.empty(),
        told(bleedMv));
  }

  private static OptionalInt told(int value) {
    return value == 0 ? OptionalInt.empty() : OptionalInt.of(value);
  }

  private static PlanCheck check(PackPlan plan, String name) {
    return PlanAudit.of(plan, ALARMS).checks().stream()
        .filter(c -> c.name().equals(name))
        .findFirst()
        .orElseThrow(() -> new AssertionError(name + " was not checked"));
  }

  @Test
  void whatThePlanDoesNotTellIsSaidToBeUnchecked() {
    PackPlan bare = sixteen().build();
    PackPlan boarded = sixteen().board(board(100, 200, 3650, 2500, 0)).build();

    assertThat(PlanAudit.of(bare, ALARMS).untold())
        .hasSize(5)
        .allMatch(s -> s.startsWith("Not checked: "))
        .anyMatch(s -> s.contains("[pack.fuse]"));
    assertThat(PlanAudit.of(boarded, ALARMS).untold())
        .noneMatch(s -> s.contains("no [pack.board])"))
        .anyMatch(s -> s.contains("[pack.board] bleed_from_mv"));
  }

  /** Common practice, no source: six cells of 10 A in parallel allow at most a 60 A board. */
  @ParameterizedTest
  @CsvSource({"60, OK", "61, FAIL"})
  void sixCellsOfTenAmpereAllowABoardOfSixty(int boardA, Verdict verdict) {
    PackPlan plan =
        PackPlan.builder("p", Chemistry.LFP, 4, 6, 27_000)
            .cell(new CellRating(OptionalInt.of(10_000), OptionalInt.empty(), OptionalInt.empty()))
            .board(board(boardA, 0, 0, 0, 0))
            .build();

    assertThat(check(plan, "board-for-cells").verdict()).isEqualTo(verdict);
  }

  @Test
  void usedCellsAllowLess() {
    PackPlan plan =
        PackPlan.builder("p", Chemistry.LFP, 4, 6, 27_000)
            .cell(new CellRating(OptionalInt.of(10_000), OptionalInt.empty(), OptionalInt.empty()))
            .board(board(60, 0, 0, 0, 0))
            .build();

    PlanCheck check =
        PlanAudit.of(plan, ALARMS, 0.83).checks().stream()
            .filter(c -> c.name().equals("board-for-cells"))
            .findFirst()
            .orElseThrow();

    assertThat(check.verdict()).isEqualTo(Verdict.FAIL);
    assertThat(check.sentence())
        .isEqualTo(
            "The board allows 60 A for ever, 6 cells of 10 A in parallel at 83 % health allow"
                + " 49.8 A.");
  }

  @ParameterizedTest
  @CsvSource({"80, OK", "90, WARN", "101, FAIL"})
  void eightTenthsOfTheBoardAreForTheLoad(int loadA, Verdict verdict) {
    PackPlan plan = sixteen().board(board(100, 0, 0, 0, 0)).loadMa(loadA * 1000).build();

    assertThat(check(plan, "board-for-load").verdict()).isEqualTo(verdict);
  }

  /** Our own example: load 80 A, board 100 A, wire 120 A allow exactly a fuse of 100 A. */
  @ParameterizedTest
  @CsvSource({
    "80, 100, OK, OK, OK, OK",
    "80, 99, FAIL, OK, OK, OK",
    "80, 101, OK, OK, WARN, OK",
    "80, 121, OK, FAIL, WARN, OK",
    "90, 100, FAIL, OK, OK, FAIL"
  })
  void theFuseStandsBetweenLoadAndWire(
      int loadA, int fuseA, Verdict load, Verdict wire, Verdict board, Verdict room) {
    PackPlan plan =
        sixteen()
            .board(board(100, 0, 0, 0, 0))
            .wire(new Wire(OptionalInt.of(120_000), OptionalInt.empty(), OptionalInt.empty()))
            .fuse(new FuseRating(fuseA * 1000, OptionalInt.empty(), OptionalInt.empty()))
            .loadMa(loadA * 1000)
            .build();

    assertThat(check(plan, "fuse-over-load").verdict()).isEqualTo(load);
    assertThat(check(plan, "fuse-for-wire").verdict()).isEqualTo(wire);
    assertThat(check(plan, "fuse-for-board").verdict()).isEqualTo(board);
    assertThat(check(plan, "room-for-a-fuse").verdict()).isEqualTo(room);
  }

  @Test
  void bothNumbersAreSaid() {
    PackPlan plan =
        sixteen()
            .fuse(new FuseRating(100_000, OptionalInt.empty(), OptionalInt.empty()))
            .loadMa(90_000)
            .build();

    PlanCheck check = check(plan, "fuse-over-load");

    assertThat(check.sentence())
        .isEqualTo("1.25 times the continuous load is 112.5 A, the fuse is 100 A.");
    assertThat(check.facts().number("value")).hasValue(112.5);
    assertThat(check.facts().text("verdict")).hasValue("fail");
  }

  /** Our own example: 16 x 3.3 V over 16 x 0.25 mohm + 4 mohm. */
  @Test
  void aShortedPackGivesThousandsOfAmperes() {
    assertThat(FuseChecks.shortA(16, 3300, 0.25)).isCloseTo(6600, Offset.offset(1e-6));
  }

  @ParameterizedTest
  @CsvSource({"58400, OK", "58000, FAIL"})
  void theFuseBreaksTheFullPacksVoltage(int fuseMv, Verdict verdict) {
    PackPlan plan =
        sixteen()
            .fuse(new FuseRating(100_000, OptionalInt.of(10_000), OptionalInt.of(fuseMv)))
            .build();

    assertThat(check(plan, "fuse-voltage").verdict()).isEqualTo(verdict);
    assertThat(check(plan, "fuse-interrupts").verdict()).isEqualTo(Verdict.OK);
  }

  @ParameterizedTest
  @CsvSource({
    "3400, OK, WARN",
    "3450, OK, OK",
    "3599, OK, OK",
    "3600, WARN, OK",
    "3650, WARN, OK",
    "3660, FAIL, OK"
  })
  void chargeVoltageIsHeldAgainstTheChemistry(int cellMv, Verdict high, Verdict top) {
    PackPlan plan = sixteen().chargeMv(16 * cellMv).build();

    assertThat(check(plan, "charge-voltage").verdict()).isEqualTo(high);
    assertThat(check(plan, "charge-reaches-top").verdict()).isEqualTo(top);
  }

  @ParameterizedTest
  @CsvSource({
    "3600, OK, WARN",
    "3650, OK, WARN",
    "3651, WARN, OK",
    "3750, WARN, OK",
    "3850, FAIL, OK"
  })
  void theBoardsTripIsHeldAgainstLimitAndAlarm(int tripMv, Verdict trip, Verdict alarm) {
    PackPlan plan = sixteen().board(board(0, 0, tripMv, 2500, 0)).build();

    assertThat(check(plan, "trip-high").verdict()).isEqualTo(trip);
    assertThat(check(plan, "alarm-before-trip-high").verdict()).isEqualTo(alarm);
  }

  @Test
  void aTripBelowTheChargeVoltageNeverLetsItFinish() {
    PackPlan plan = sixteen().board(board(0, 0, 3450, 0, 0)).build();

    assertThat(check(plan, "trip-above-charge").verdict()).isEqualTo(Verdict.FAIL);
  }

  @ParameterizedTest
  @CsvSource({"2500, OK", "2400, WARN", "2300, FAIL"})
  void theLowTripIsHeldAgainstTheCells(int tripMv, Verdict verdict) {
    PackPlan plan = sixteen().board(board(0, 0, 0, tripMv, 0)).build();

    assertThat(check(plan, "trip-low").verdict()).isEqualTo(verdict);
  }

  @ParameterizedTest
  @CsvSource({"3250, true", "3370, true", "3371, false", "3400, false"})
  void aKneeOnThePlateauFails(int kneeMv, boolean isRefused) {
    CellLimits usual = Chemistry.LFP.limits();
    PackPlan plan =
        sixteen()
            .limits(
                new CellLimits(
                    usual.cutOffHighMv(),
                    usual.warnHighMv(),
                    usual.fullMv(),
                    kneeMv,
                    usual.nominalMv(),
                    usual.warnLowMv(),
                    usual.cutOffLowMv()))
            .build();

    assertThat(PlanAudit.of(plan, ALARMS).checks().stream().map(PlanCheck::name).toList())
        .matches(names -> names.contains("knee-above-plateau") == isRefused);
  }

  @ParameterizedTest
  @CsvSource({"3300, OK, WARN", "3420, OK, OK", "3500, WARN, OK"})
  void bleedingBeginsInTheKneeAndBelowTheCharge(int mv, Verdict charge, Verdict knee) {
    PackPlan plan = sixteen().board(board(0, 0, 0, 0, mv)).build();

    assertThat(check(plan, "bleed-below-charge").verdict()).isEqualTo(charge);
    assertThat(check(plan, "bleed-in-knee").verdict()).isEqualTo(knee);
  }

  /** From memory of the ABYC E-11 table. */
  @ParameterizedTest
  @CsvSource({"13, 120", "16, 120", "21, 160", "33, 210", "53, 285", "67, 330", "107, 445"})
  void copperCarriesWhatTheNextThinnerListedWireDoes(double mm2, int amps) {
    assertThat(Copper.ampacityA(mm2)).hasValue(amps);
    assertThat(Copper.ampacityA(10)).isEmpty();
  }

  @Test
  void wireLosesVoltageBothWays() {
    assertThat(Copper.dropMv(35, 2, 100)).isCloseTo(200, Offset.offset(1e-9));
  }

  @Test
  void whatIsNotToldIsNotChecked() {
    PlanAudit audit = PlanAudit.of(sixteen().build(), ALARMS);

    assertThat(audit.checks())
        .extracting(PlanCheck::name)
        .containsExactly("charge-voltage", "charge-reaches-top");
    assertThat(audit.worst()).isEqualTo(Verdict.OK);
  }

  @Test
  void usualRatesOfUsedCellsAreOnlyAWarning() {
    PackPlan plan = sixteen().chargerMa(150_000).loadMa(280_000).build();

    assertThat(check(plan, "cells-for-charger").verdict()).isEqualTo(Verdict.WARN);
    assertThat(check(plan, "cells-for-load").verdict()).isEqualTo(Verdict.OK);
  }
}
