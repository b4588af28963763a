package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** Each fault shows in what the board prints, begins at its time, and is mended at its end. */
class PackFaultTest {

  private static final String LOAD = "[[load]]\namperes = 10\nperiod_s = 120\non_s = 60\n";

  private static SimulatedRig rig(String fault) {
    return TestScenarios.perfect(60, "[[fault]]\nat_h = 1\nfor_h = 1\n" + fault + "\n" + LOAD)
        .rig();
  }

  private static Reading at(SimulatedRig rig, double hours) {
    rig.stepTo(START + Math.round(hours * 3_600_000));
    return rig.measured();
  }

  private static final long START = TestScenarios.perfect(60, "").startMs();

  @Test
  void leakTakesItsShareOfTheCapacity() {
    SimulatedRig rig = rig("kind = \"leak\"\ncell = 2\nma_per_ah = 0.5");

    at(rig, 0.9);
    double before = Truth.of(rig).leakMa(2);
    at(rig, 1.5);
    double during = Truth.of(rig).leakMa(2);
    at(rig, 3);

    assertThat(during - before).isCloseTo(50, within(1e-6));
    assertThat(Truth.of(rig).leakMa(2)).isCloseTo(before, within(1e-9));
    assertThat(Truth.of(rig).leadAh(1)).isCloseTo(0.05, within(0.001));
  }

  @Test
  void shortPullsTheCellDown() {
    SimulatedRig rig = rig("kind = \"short\"\ncell = 3\nohm = 0.05");

    double before = at(rig, 0.99).cells().mv(3);
    double during = at(rig, 1.95).cells().mv(3);

    assertThat(before - during).isGreaterThan(30);
  }

  @Test
  void lostCapacityStaysLost() {
    SimulatedRig rig = rig("kind = \"low-capacity\"\ncell = 1\npct = 15");

    at(rig, 3);

    assertThat(Truth.of(rig).capacityAh(1)).isCloseTo(85, within(1e-9));
    assertThat(Truth.of(rig).usableAh()).isCloseTo(85, within(0.01));
  }

  @Test
  void badStrapShowsUnderCurrent() {
    SimulatedRig rig = rig("kind = \"bad-strap\"\ncell = 2\nmohm = 2");

    Reading before = at(rig, 0.505);
    Reading during = at(rig, 1.505);
    Reading after = at(rig, 2.505);

    assertThat(difference(during) - difference(before)).isCloseTo(-20, within(1.5));
    assertThat(difference(after)).isCloseTo(difference(before), within(0.5));
    assertThat(Truth.of(rig).strapMohm(2)).isLessThan(0.1);
  }

  private static double sumMv(Reading reading) {
    double sum = 0;
    for (int cell = 1; cell <= reading.cells().count(); cell++) {
      sum += reading.cells().mv(cell);
    }
    return sum;
  }

  /** Cell 3 above cell 2, mV. */
  private static double difference(Reading reading) {
    return reading.cells().mv(3) - reading.cells().mv(2);
  }

  @Test
  void looseTapLiftsOneCellLowersTheNextAndKeepsTheSum() {
    SimulatedRig rig = rig("kind = \"loose-tap\"\ntap = 2\nmv = 20\nwander_mv = 5");

    Reading before = at(rig, 0.5);
    Reading during = at(rig, 1.5);

    assertThat(difference(during) - difference(before)).isBetween(-50.5, -29.5);
    assertThat(sumMv(during)).isCloseTo(during.packMv().orElseThrow(), within(1.0));
    assertThat(difference(at(rig, 2.5))).isCloseTo(difference(before), within(0.5));
  }

  @Test
  void swappedTapsShowDoubleNegativeDouble() {
    SimulatedRig rig = rig("kind = \"swapped-taps\"\ntap = 2");

    Reading during = at(rig, 1.5);

    double usual = during.cells().mv(1);
    assertThat(during.cells().mv(2) / usual).isCloseTo(2, within(0.01));
    assertThat(during.cells().mv(3) / usual).isCloseTo(-1, within(0.01));
    assertThat(during.cells().mv(4) / usual).isCloseTo(2, within(0.01));
    assertThat(sumMv(during) / usual).isCloseTo(4, within(0.01));
  }

  @Test
  void sensorsBreakAndAreMended() {
    SimulatedRig open = rig("kind = \"sensor-open\"\nsensor = 2");
    SimulatedRig shorted = rig("kind = \"sensor-short\"\nsensor = 1");

    assertThat(at(open, 1.5).temperatures().tenthC(2)).isEqualTo(-400);
    assertThat(at(shorted, 1.5).temperatures().tenthC(1)).isEqualTo(1250);
    assertThat(at(open, 2.5).temperatures().tenthC(2)).isBetween(190, 220);
  }

  @Test
  void stuckSensorKeepsItsNumber() {
    SimulatedRig rig =
        TestScenarios.perfect(
                60,
                "[[fault]]\nkind = \"sensor-stuck\"\nsensor = 1\nat_h = 1\n[ambient]\ndaily_c = 9\n")
            .rig();

    at(rig, 0.99);
    int first = at(rig, 1.5).temperatures().tenthC(1);
    Reading later = at(rig, 14);

    assertThat(later.temperatures().tenthC(1)).isEqualTo(first);
    assertThat(later.temperatures().tenthC(2)).isNotEqualTo(first);
  }

  @Test
  void stuckCellKeepsItsNumber() {
    SimulatedRig rig = rig("kind = \"stuck-cell\"\ncell = 2");
    int before = at(rig, 0.999).cells().tenthMv(2);

    assertThat(at(rig, 1.51).cells().tenthMv(2)).isEqualTo(before);
    assertThat(at(rig, 1.51).cells().tenthMv(1)).isNotEqualTo(before);
    assertThat(at(rig, 2.5).cells().mv(2)).isCloseTo(rig.measured().cells().mv(1), within(0.5));
  }

  @Test
  void frozenBoardPrintsTheSameForEver() {
    SimulatedRig rig = rig("kind = \"frozen\"");
    at(rig, 1);

    Reading during = at(rig, 1.3);
    Reading later = at(rig, 1.81);

    assertThat(later).isEqualTo(during.atTime(later.timeMs()));
    assertThat(at(rig, 2.5)).isNotEqualTo(during.atTime(rig.nowMs()));
  }

  @Test
  void currentIsOff() {
    SimulatedRig rig = rig("kind = \"current-offset\"\nma = 700");

    assertThat(at(rig, 1.517).currentMa()).hasValue(700);
    assertThat(at(rig, 2.517).currentMa()).hasValue(0);
    assertThat(Truth.of(rig).currentA()).isCloseTo(0, within(1e-9));
  }

  @Test
  void boardCountsItsCellsWrongly() {
    SimulatedRig rig = rig("kind = \"cell-count\"\ncells = 3");

    assertThat(at(rig, 1.5).cells().count()).isEqualTo(3);
    assertThat(at(rig, 2.5).cells().count()).isEqualTo(4);
  }

  @Test
  void brownOutIsTheListenersAffair() {
    MonitorEvent event =
        MonitorEvent.of(
                TestScenarios.perfect(
                    60,
                    """
                    [[fault]]
                    kind = "brown-out"
                    at_h = 2
                    for_h = 0.1
                    clock_off_min = -60
                    right_after_min = 5
                    """))
            .get(0);

    assertThat(event.atMs()).isEqualTo(START + 7_200_000);
    assertThat(event.backMs()).isEqualTo(START + 7_560_000);
    assertThat(event.wallMs(event.backMs())).isEqualTo(event.backMs() - 3_600_000);
    assertThat(event.wallMs(event.rightMs())).isEqualTo(event.backMs() + 300_000);
  }
}
