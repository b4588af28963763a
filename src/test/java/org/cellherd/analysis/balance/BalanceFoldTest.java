package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.BalanceView.Charge;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Fact;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;

class BalanceFoldTest {
  private static final PackPlan PLAN =
      PackPlan.builder("p", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_000).build();

  private final PackAnalysis analysis = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));
  private final List<Finding> completed = new ArrayList<>();
  private final Random random = new Random(3);

  /** Ah that each cell lacks until its knee begins. */
  private final double[] lacks = {8, 6.5, 5, 6};

  private long now = 1_767_225_600_000L;
  private double countAh;

  private void charge(int seconds, double amperes) {
    for (int i = 0; i < seconds; i++) {
      now += 1000;
      countAh += amperes / 3600;
      int[] tenth = new int[4];
      for (int k = 0; k < 4; k++) {
        double knee = 40 * Math.exp((countAh - lacks[k]) / 1.2);
        double mv = Math.min(3640, 3340 + knee) + amperes + 0.4 * random.nextGaussian();
        tenth[k] = (int) Math.round(mv) * 10;
      }
      take(Reading.at(now).cells(CellVoltages.ofTenthMv(tenth)).currentMa((int) (amperes * 1000)));
    }
  }

  private void held(int seconds, int... mv) {
    steady(seconds, 0, mv);
  }

  private void steady(int seconds, int milliamps, int... mv) {
    for (int i = 0; i < seconds; i++) {
      now += 1000;
      take(Reading.at(now).cells(CellVoltages.ofMv(mv)).currentMa(milliamps));
    }
  }

  private void take(Reading.Builder reading) {
    analysis.accept(reading.build());
    completed.addAll(analysis.completed());
  }

  private Interval lead(int cell) {
    return analysis.balance().leads().stream()
        .filter(l -> l.cell() == cell)
        .findFirst()
        .orElseThrow()
        .ah();
  }

  private List<Finding> fullCharges() {
    return completed.stream().filter(f -> f.name() == FindingName.FULL_CHARGE).toList();
  }

  private Finding balance() {
    return analysis.standing().stream()
        .filter(f -> f.name() == FindingName.BALANCE)
        .findFirst()
        .orElseThrow();
  }

  /**
   * 10 A constant, the first cell comes to the knee 18 minutes before the last: 3 Ah (synthetic).
   */
  @Test
  void leadIsTheChargeCountedFromOneCellsKneeToTheNext() {
    charge((int) (8.6 * 360), 10);

    assertThat(lead(3).mid()).isCloseTo(3.0, within(0.1));
    assertThat(lead(3).holds(3.0)).isTrue();
    assertThat(lead(2).mid()).isCloseTo(1.5, within(0.1));
    assertThat(lead(1).mid()).isZero();
  }

  @Test
  void cellsThatNeverComeToTheirKneeGiveALowerBound() {
    lacks[0] = 30;
    charge((int) (6.5 * 360), 10);

    Interval lead = lead(3);
    assertThat(lead.low()).isBetween(0.3, 3.0);
    assertThat(lead.high()).isGreaterThan(25);
    assertThat(balance().sentence()).contains("at least").doesNotContain("about");
  }

  /** All cells come up within seconds, and the charge ends at the first one's limit. */
  @Test
  void aChargeThatOneCellEndedTooEarlyIsSaidToBe() {
    System.arraycopy(new double[] {5.4, 5.1, 5, 5.3}, 0, lacks, 0, 4);
    charge(250, 100);
    held(8000, 3340, 3341, 3390, 3339);

    assertThat(balance().sentence())
        .isEqualTo(
            "Not at the top; cell 3 ended the last charge, 1 Jan 2026 00:04, before it showed by how"
                + " many Ah the cells are apart. Lower the charge current or voltage, and charge"
                + " again.");
  }

  @Test
  void aChargeThatStoppedBeforeItShowedALeadIsSaidToHaveDone() {
    System.arraycopy(new double[] {5.4, 5.1, 5, 5.3}, 0, lacks, 0, 4);
    charge(225, 100);
    held(8000, 3340, 3341, 3390, 3339);

    assertThat(balance().sentence())
        .isEqualTo(
            "Not at the top; the last charge, 1 Jan 2026 00:03, did not show by how many Ah the"
                + " cells are apart. A slower charge that is held at the top may show it.");
  }

  @Test
  void cloudsDoNotChangeTheLead() {
    for (int i = 0; i < 40; i++) {
      charge(60, i % 5 == 0 ? 3 : 10);
      charge(20, 10);
    }
    charge(400, 10);

    assertThat(lead(3).holds(3.0)).isTrue();
    assertThat(completed).filteredOn(f -> f.name() == FindingName.FULL_CHARGE).isEmpty();
  }

  @Test
  void onThePlateauNothingIsClaimed() {
    steady(3600, 10_000, 3340, 3345, 3338, 3341);

    BalanceView view = analysis.balance();
    assertThat(view.state()).isEqualTo(State.NOT_AT_TOP);
    assertThat(view.leads()).isEmpty();
    assertThat(view.etaHours()).isEmpty();
    assertThat(balance().sentence()).contains("do not tell balance");
  }

  @Test
  void evenCellsHeldForHalfAnHourAreBalanced() {
    steady(600, 3_000, 3478, 3482, 3480, 3481);
    held(1700 - 600, 3478, 3482, 3480, 3481);
    assertThat(analysis.balance().state()).isNotEqualTo(State.BALANCED);

    held(300, 3478, 3482, 3480, 3481);

    assertThat(analysis.balance().state()).isEqualTo(State.BALANCED);
    assertThat(analysis.balance().etaHours()).contains(Interval.exactly(0));
  }

  @Test
  void verdictOfTheTopIsKeptAwayFromIt() {
    steady(600, 3_000, 3478, 3482, 3480, 3481);
    held(1800, 3478, 3482, 3480, 3481);
    steady(3 * 3600, -5_000, 3310, 3311, 3309, 3310);

    BalanceView view = analysis.balance();
    assertThat(view.state()).isEqualTo(State.NOT_AT_TOP);
    assertThat(view.lastTop().orElseThrow().state()).isEqualTo(State.BALANCED);
    assertThat(fullCharges()).hasSize(1);
    assertThat(fullCharges().get(0).facts().text("end")).contains("tail");
  }

  @Test
  void heldAtAReportedZeroIsNeitherRestNorAbsence() {
    steady(600, 3_000, 3440, 3442, 3560, 3441);
    held(3600, 3440, 3442, 3560, 3441);

    assertThat(analysis.balance().charge()).isEqualTo(Charge.HELD);
    assertThat(analysis.phase().word()).isEqualTo("hold");
  }

  @Test
  void cellsFoundAtTheTopAreNotSaidToBeOnTheirWayThere() {
    held(3600, 3457, 3465, 3512, 3464);

    assertThat(balance().sentence())
        .isEqualTo("At the top; by how many Ah the cells are apart is not known yet.");
  }

  @Test
  void aPackBelowItsChargeVoltageIsNotSaidToBeHeldByTheCharger() {
    steady(600, 3_000, 3490, 3492, 3560, 3491);
    held(1800, 3490, 3492, 3560, 3491);
    assertThat(analysis.balance().reasons()).anyMatch(r -> r.startsWith("held at the top by"));

    held(3600, 3455, 3457, 3500, 3456);
    assertThat(analysis.balance().reasons())
        .anyMatch(
            r -> r.endsWith("33 mV a cell below the charge voltage: perhaps the charger is off"))
        .noneMatch(r -> r.startsWith("held"));
  }

  @Test
  void tripsLessThanTwoHoursApartAreOneCharge() {
    for (int i = 0; i < 6; i++) {
      steady(60, 8_000, 3360, 3362, 3600, 3361);
      steady(20, 8_000, 3360, 3362, 3650, 3361);
      held(420, 3345, 3346, 3560, 3345);
    }

    assertThat(analysis.balance().charge()).isEqualTo(Charge.BOUNCING);
    assertThat(analysis.bounce().orElseThrow().allTrips()).isEqualTo(6);
    assertThat(analysis.bounce().orElseThrow().cell()).isEqualTo(3);
    assertThat(analysis.bounce().orElseThrow().periodMin()).isCloseTo(500 / 60.0, within(0.1));
    assertThat(fullCharges()).isEmpty();

    held(3 * 3600, 3340, 3340, 3380, 3340);

    assertThat(fullCharges()).hasSize(1);
    assertThat(fullCharges().get(0).facts().text("end")).contains("first_cell");
    assertThat(fullCharges().get(0).facts().number("trips")).hasValue(6);
  }

  @Test
  void aChargerBelowItsChargeVoltageAfterwardsFloats() {
    steady(600, 3_000, 3492, 3495, 3490, 3493);
    held(1200, 3380, 3381, 3379, 3380);
    held(1800, 3410, 3411, 3409, 3410);

    assertThat(analysis.balance().charge()).isEqualTo(Charge.FLOAT);
  }

  @Test
  void factsHaveTheAgreedKeysFirst() {
    charge((int) (8.6 * 360), 10);

    assertThat(balance().facts().list().stream().map(Fact::name).limit(12))
        .containsExactly(
            "state",
            "charge",
            "spread_mv",
            "lead",
            "bleed_a",
            "remaining_ah",
            "remaining_ah_low",
            "remaining_ah_high",
            "eta_h",
            "since",
            "reasons",
            "last_top");
  }

  /** The simulated board bleeds only while more than 300 mA flow: nothing moves in the hold. */
  @Test
  void aHeldLeadThatNothingBleedsIsStalled() {
    SimulatedRun night = new SimulatedRun(Scenarios.open("stalled-night"), false);
    night.run(6 * 3_600_000L, SimulatedRun::stop);

    assertThat(night.analysis().balance().state()).isEqualTo(State.STALLED);
    assertThat(night.analysis().balance().etaHours()).isEmpty();
    double truth = night.truth().greatestLeadAh();
    assertThat(night.analysis().balance().leads())
        .anySatisfy(l -> assertThat(l.ah().holds(truth)).isTrue());
  }

  /** The simulated leader trips its board all night while the others stay on the plateau. */
  @Test
  void aBouncingNightKeepsAnHonestLowerBound() {
    SimulatedRun night = new SimulatedRun(Scenarios.open("bouncing-night"), false);
    night.run(
        3_600_000L,
        n -> {
          assertThat(n.analysis().balance().charge()).isEqualTo(Charge.BOUNCING);
          assertThat(n.analysis().balance().leads())
              .filteredOn(l -> l.cell() == 2)
              .allSatisfy(l -> assertThat(l.ah().holds(n.truth().leadAh(2))).isTrue());
          if (n.hours() > 4) {
            n.stop();
          }
        });
  }
}
