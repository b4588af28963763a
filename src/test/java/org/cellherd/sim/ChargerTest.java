package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.sim.Charger.State;
import org.junit.jupiter.api.Test;

class ChargerTest {

  private static final double NEVER = Double.POSITIVE_INFINITY;

  private static Charger charger(double tailA, double absorbS, double floatV) {
    return new Charger(new Charger.Traits(10, 14.0, tailA, absorbS, floatV, 13.2, 0, 0), 0, null);
  }

  private static void run(Charger charger, double volts, double amperes, int seconds) {
    for (int i = 0; i < seconds; i++) {
      charger.step(volts, amperes, 1, true);
    }
  }

  @Test
  void holdsWhenItsVoltageIsReached() {
    Charger charger = charger(1, NEVER, 0);

    run(charger, 13.9, 10, 10);
    assertThat(charger.state()).isEqualTo(State.BULK);

    run(charger, 13.99, 10, 1);
    assertThat(charger.state()).isEqualTo(State.HOLD);
  }

  @Test
  void endsAtItsTailCurrent() {
    Charger charger = charger(1, NEVER, 0);
    run(charger, 14, 5, 100);

    run(charger, 14, 0.9, 59);
    assertThat(charger.state()).isEqualTo(State.HOLD);
    run(charger, 14, 0.9, 1);
    assertThat(charger.state()).isEqualTo(State.DONE);
    assertThat(charger.limitV()).isZero();
  }

  @Test
  void endsAtItsAbsorbTimerAndFloats() {
    Charger charger = charger(0, 600, 13.5);

    run(charger, 14, 5, 601);

    assertThat(charger.state()).isEqualTo(State.FLOAT);
    assertThat(charger.limitV()).isEqualTo(13.5);
  }

  @Test
  void beginsAgainWhenThePackHasFallen() {
    Charger charger = charger(1, NEVER, 0);
    run(charger, 14, 0.5, 100);

    run(charger, 13.3, 0, 10);
    assertThat(charger.state()).isEqualTo(State.DONE);
    run(charger, 13.1, 0, 1);
    assertThat(charger.state()).isEqualTo(State.BULK);
  }

  @Test
  void countsNothingWhileNoPackTakesItsCurrent() {
    Charger charger = charger(1, 600, 13.5);
    run(charger, 14, 5, 100);

    for (int i = 0; i < 7200; i++) {
      charger.step(14, 0, 1, false);
    }

    assertThat(charger.state()).isEqualTo(State.HOLD);
  }

  @Test
  void worksAtItsHoursOnly() {
    Charger charger = new Charger(new Charger.Traits(10, 14, 0, NEVER, 0, 0, 22, 6), 0, null);

    assertThat(charger.giveA(hour(23), 13)).isEqualTo(10);
    assertThat(charger.giveA(hour(5), 13)).isEqualTo(10);
    assertThat(charger.giveA(hour(12), 13)).isZero();
  }

  private static long hour(double hour) {
    return Math.round(hour * 3_600_000);
  }
}
