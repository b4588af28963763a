package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.cellherd.sim.Exceedance.Level;
import org.junit.jupiter.api.Test;

/** The shipped scenarios tell the stories that they promise. */
class NightsTest {

  private static final long HOUR_MS = 3_600_000;

  private static SimulatedRig after(String name, double hours) {
    Scenario scenario = Scenarios.open(name);
    SimulatedRig rig = scenario.rig();
    rig.stepTo(scenario.startMs() + Math.round(hours * HOUR_MS));
    return rig;
  }

  private static TrueCourse course(String name, double hours) {
    Scenario scenario = Scenarios.open(name);
    SimulatedRig rig = scenario.rig();
    TrueCourse course = new TrueCourse(rig, 0);
    rig.stepTo(scenario.startMs() + Math.round(hours * HOUR_MS));
    return course;
  }

  private static List<Level> levels(TrueCourse course, int cell) {
    return course.exceedances().stream()
        .filter(e -> e.cell() == cell)
        .map(Exceedance::level)
        .distinct()
        .toList();
  }

  @Test
  void leaderOfTheFirstNightIsBledIntoBalance() {
    SimulatedRig evening = after("first-night", 4);
    SimulatedRig morning = after("first-night", 12);

    assertThat(Truth.of(evening).leadAh(3)).isBetween(0.3, 0.5);
    assertThat(levels(course("first-night", 4), 3)).containsExactly(Level.HIGH);
    assertThat(Truth.of(morning).greatestLeadAh()).isLessThan(0.05);
    assertThat(Truth.of(morning).highTrips()).isZero();
    assertThat(Truth.of(morning).bledAh(3)).isBetween(0.6, 0.75);
  }

  @Test
  void bouncingBoardTripsManyTimesInEveryHour() {
    Scenario scenario = Scenarios.open("bouncing-night");
    SimulatedRig rig = scenario.rig();
    rig.stepTo(scenario.startMs() + HOUR_MS);
    int before = Truth.of(rig).highTrips();

    for (int hour = 2; hour <= 12; hour++) {
      rig.stepTo(scenario.startMs() + hour * HOUR_MS);
      assertThat(Truth.of(rig).highTrips() - before).as("hour %d", hour).isGreaterThanOrEqualTo(3);
      before = Truth.of(rig).highTrips();
    }
  }

  @Test
  void stalledNightKeepsItsLead() {
    assertThat(Truth.of(after("stalled-night", 16)).greatestLeadAh()).isGreaterThan(0.4);
  }

  @Test
  void runawayReallyPassesItsLimit() {
    assertThat(levels(course("runaway", 3), 2)).contains(Level.HIGH, Level.OVER);
  }

  @Test
  void forgottenLampReallyEmptiesTheWeakestCell() {
    assertThat(levels(course("over-discharge", 20), 4)).contains(Level.LOW, Level.UNDER);
  }

  @Test
  void frostyMorningIsReallyChargedInTheCold() {
    assertThat(course("cold-charge", 20).coldChargeS()).isGreaterThan(3600);
  }

  @Test
  void healthyNightPassesNoLimit() {
    TrueCourse night = course("healthy-night", 12);

    assertThat(night.exceedances()).isEmpty();
    assertThat(night.chargedAh()).isGreaterThan(10);
  }

  @Test
  void openPackLeavesAllToTheOther() {
    Scenario scenario = Scenarios.open("two-packs");
    SimulatedRig rig = scenario.rig();
    boolean opened = false;
    for (long t = scenario.startMs(); t < scenario.endMs() && !opened; t += 60_000) {
      rig.stepTo(t);
      opened = rig.measured(1).dischargeSwitch().orElseThrow() == 0 && rig.chargerA() == 0;
    }

    assertThat(opened).isTrue();
    assertThat(Truth.of(rig, 1).currentA()).isCloseTo(0, within(1e-6));
    assertThat(Truth.of(rig, 0).currentA()).isCloseTo(-7, within(0.01));
  }

  @Test
  void capacityTestGivesTheCapacityOfTheSmallestCell() {
    Scenario scenario = Scenarios.open("capacity-test");
    SimulatedRig rig = scenario.rig();
    rig.stepTo(scenario.startMs() + Math.round(7.5 * HOUR_MS));
    TrueCourse test = new TrueCourse(rig, 0);
    rig.stepTo(scenario.startMs() + 16 * HOUR_MS);

    double given = test.dischargedAh();

    // The rest to full stays out: the charger holds 3.50 V a cell and ends at a tail of 0.5 A.
    assertThat(given / Truth.of(rig).usableAh()).isBetween(0.96, 1.0);
    assertThat(given / 27).as("share of the rating").isBetween(0.79, 0.84);
  }

  @Test
  void chargerFloatsForDays() {
    SimulatedRig rig = after("float-charger", 90);

    assertThat(rig.busV()).isCloseTo(13.5, within(0.01));
    assertThat(Math.abs(Truth.of(rig).currentA())).isLessThan(0.1);
  }
}
