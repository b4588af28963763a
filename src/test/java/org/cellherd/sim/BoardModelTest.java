package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class BoardModelTest {

  private static final String CHARGER = "[charger]\namperes = %s\nhold_mv = %s\n";

  private static SimulatedRig rig(double socPct, String more) {
    return TestScenarios.perfect(socPct, more).rig();
  }

  /** A rig whose board differs by some keys from the perfect one. */
  private static SimulatedRig rigWithBoard(double socPct, String keys, String more) {
    String text = TestScenarios.PACK.formatted(socPct) + "[pack.board]\n" + keys + more;
    return TestScenarios.read(text).rig();
  }

  private static Reading after(SimulatedRig rig, double minutes) {
    rig.stepTo(rig.nowMs() + Math.round(minutes * 60_000));
    return rig.measured();
  }

  @Test
  void perfectBoardPrintsTheTruth() {
    SimulatedRig rig = rig(60, CHARGER.formatted("10", "14400"));

    Reading reading = after(rig, 30);

    assertThat(reading.currentMa()).hasValue(10_000);
    assertThat(reading.cells().mv(2)).isCloseTo(Truth.of(rig).cellV(2) * 1000, within(0.3));
    int sum = 0;
    for (int cell = 1; cell <= 4; cell++) {
      sum += reading.cells().tenthMv(cell);
    }
    assertThat(reading.packMv().orElseThrow() * 10).isCloseTo(sum, within(20));
  }

  @Test
  void smallCurrentIsPrintedAsNone() {
    SimulatedRig rig =
        rigWithBoard(60, "zero_below_ma = 1000\n", CHARGER.formatted("0.9", "14400"));

    assertThat(after(rig, 10).currentMa()).hasValue(0);
    assertThat(Truth.of(rig).currentA()).isCloseTo(0.9, within(1e-9));
  }

  @Test
  void invertedSignPrintsChargingNegative() {
    SimulatedRig rig = rigWithBoard(60, "inverted_sign = true\n", CHARGER.formatted("10", "14400"));

    assertThat(after(rig, 10).currentMa().orElseThrow()).isCloseTo(-10_000, within(60));
  }

  @Test
  void missingCellsArePrintedAsZero() {
    Reading reading = after(rigWithBoard(60, "reported_cells = 8\n", ""), 1);

    assertThat(reading.cells().count()).isEqualTo(8);
    assertThat(reading.cells().tenthMv(8)).isBetween(-30, 30);
  }

  @Test
  void numbersComeInSteps() {
    Reading reading =
        after(
            rigWithBoard(
                60,
                "cell_step_mv = 5\npack_step_mv = 100\ncurrent_step_ma = 100\n",
                CHARGER.formatted("3.33", "14400")),
            1);

    for (int cell = 1; cell <= 4; cell++) {
      assertThat(reading.cells().tenthMv(cell) % 50).isZero();
    }
    assertThat(reading.packMv().orElseThrow() % 100).isZero();
    assertThat(reading.currentMa().orElseThrow() % 100).isZero();
  }

  @Test
  void noiseHasItsSizeAndOffsetsStay() {
    SimulatedRig rig = rigWithBoard(60, "cell_noise_mv = 2\ncell_step_mv = 0.1\n", "");
    double sum = 0;
    double squares = 0;
    int n = 2000;
    for (int i = 0; i < n; i++) {
      rig.stepTo(rig.nowMs() + 1000);
      double off = rig.measured().cells().mv(1) - Truth.of(rig).cellV(1) * 1000;
      sum += off;
      squares += off * off;
    }

    double mean = sum / n;
    assertThat(Math.abs(mean)).isLessThan(3);
    assertThat(Math.sqrt(squares / n - mean * mean)).isBetween(1.85, 2.15);
  }

  @Test
  void averagedCurrentFollowsSlowly() {
    SimulatedRig rig =
        rigWithBoard(
            60,
            "current_filter_s = 60\ncurrent_noise_ma = 0\n",
            "[[load]]\namperes = 10\nat_h = 0.5\n");
    after(rig, 30);

    int early = after(rig, 0.5).currentMa().orElseThrow();
    int late = after(rig, 10).currentMa().orElseThrow();

    assertThat(early).isBetween(-5000, -3000);
    assertThat(late).isBetween(-10_050, -9950);
  }

  @Test
  void cellAboveItsTripOpensTheChargeSwitchUntilItIsReleased() {
    SimulatedRig rig =
        rig(
            97,
            """
            [[pack.cell]]
            number = 2
            ahead_ah = 2
            [pack.board.trip]
            high_mv = 3650
            high_release_mv = 3620
            delay_s = 3
            """
                + CHARGER.formatted("10", "14600"));
    long opened = 0;
    while (rig.measured().chargeSwitch().orElseThrow() == 1 && opened < 7200) {
      rig.stepTo(rig.nowMs() + 1000);
      opened++;
    }

    assertThat(Truth.of(rig).highTrips()).isEqualTo(1);
    assertThat(Truth.of(rig).cellV(2)).isBetween(3.60, 3.66);
    assertThat(after(rig, 1).currentMa()).hasValue(0);
    assertThat(rig.measured().boardAlarms().orElseThrow() & 1).isEqualTo(1);
    double seen = 9;
    while (rig.measured().chargeSwitch().orElseThrow() == 0 && opened < 40_000) {
      seen = Truth.of(rig).cellV(2);
      rig.stepTo(rig.nowMs() + 1000);
      opened++;
    }
    assertThat(seen).isBetween(3.615, 3.625);
  }

  @Test
  void emptyCellOpensTheDischargeSwitchAndChargingIsStillPossible() {
    SimulatedRig rig =
        rig(
            10,
            """
            [pack.board.trip]
            low_mv = 2800
            low_release_mv = 3000
            [[load]]
            amperes = 20
            for_h = 2
            [charger]
            amperes = 10
            hold_mv = 14000
            from_h = 3
            to_h = 5
            """);

    Reading empty = after(rig, 90);
    assertThat(empty.dischargeSwitch()).hasValue(0);
    assertThat(empty.currentMa()).hasValue(0);
    Reading charging = after(rig, 150);

    assertThat(charging.currentMa()).hasValue(10_000);
    assertThat(charging.dischargeSwitch()).hasValue(1);
  }

  @Test
  void coldBoardRefusesChargeOnly() {
    SimulatedRig rig =
        rig(
            60,
            """
            [pack.board.trip]
            cold_c = 0
            [ambient]
            mean_c = -5
            """
                + CHARGER.formatted("10", "14400"));

    TrueCourse course = new TrueCourse(rig, 0);
    Reading reading = after(rig, 1);

    assertThat(reading.chargeSwitch()).hasValue(0);
    assertThat(reading.dischargeSwitch()).hasValue(1);
    assertThat(course.coldChargeS()).isZero();
  }

  @Test
  void bleedingBeginsAtItsVoltageAndTakesExactlyItsCharge() {
    SimulatedRig rig =
        rig(
            98.5,
            """
            [[pack.cell]]
            number = 3
            ahead_ah = 0.4
            [pack.board.bleed]
            ma = 100
            from_mv = 3400
            delta_mv = 5
            """);

    Reading reading = after(rig, 120);

    assertThat(reading.bleedMask()).hasValue(0b100);
    assertThat(Truth.of(rig).bledAh(3)).isCloseTo(0.2, within(0.001));
    assertThat(Truth.of(rig).leadAh(3)).isCloseTo(0.2, within(0.001));
    assertThat(Truth.of(rig).bleedMa(3)).isEqualTo(100);
  }

  @Test
  void boardThatBleedsWhileChargingOnlyDoesNothingAtRest() {
    SimulatedRig rig =
        rig(
            98.5,
            """
            [[pack.cell]]
            number = 3
            ahead_ah = 0.4
            [pack.board.bleed]
            when = "charging"
            from_mv = 3400
            """);

    assertThat(after(rig, 60).bleedMask()).hasValue(0);
    assertThat(Truth.of(rig).bledAh(3)).isZero();
  }

  @Test
  void oddAndEvenCellsTakeTurnsAndNothingIsTold() {
    SimulatedRig rig =
        rig(
            98.5,
            """
            [[pack.cell]]
            number = 3
            ahead_ah = 0.4
            [pack.board.bleed]
            ma = 100
            from_mv = 3400
            alternate_s = 10
            flag = false
            """);
    int on = 0;
    for (int i = 0; i < 600; i++) {
      rig.stepTo(rig.nowMs() + 1000);
      on += Truth.of(rig).bleedMa(3) > 0 ? 1 : 0;
    }

    assertThat(on).isBetween(290, 310);
    assertThat(rig.measured().bleedMask()).isEmpty();
  }

  @Test
  void opinionJumpsToFullWhenACellTrips() {
    SimulatedRig rig =
        rigWithBoard(
            97,
            "start_soc_pct = 40\n",
            "[pack.board.trip]\nhigh_mv = 3600\n" + CHARGER.formatted("10", "14600"));

    int before = rig.measured().socTenthPct().orElseThrow();
    int atTop = after(rig, 60).socTenthPct().orElseThrow();

    assertThat(before).isEqualTo(400);
    assertThat(atTop).isBetween(990, 1000);
  }

  @Test
  void sensorsFollowWhatTheyTouch() {
    SimulatedRig rig =
        rig(
            60,
            """
            [[pack.board.sensor]]
            role = "cell"
            cell = 2
            [[pack.board.sensor]]
            role = "switch"
            [[pack.board.sensor]]
            role = "ambient"
            offset_c = 1
            [[load]]
            amperes = 80
            """);

    Reading reading = after(rig, 20);

    assertThat(reading.temperatures().tenthC(1)).isBetween(202, 260);
    assertThat(reading.temperatures().tenthC(2)).isGreaterThan(350);
    assertThat(reading.temperatures().tenthC(3)).isEqualTo(210);
  }
}
