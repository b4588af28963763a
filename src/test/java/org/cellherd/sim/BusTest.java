package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;

class BusTest {

  private record Source(double sourceV, double seriesOhm, boolean mayCharge, boolean mayDischarge)
      implements Bus.Branch {}

  private static Source closed(double volts, double ohm) {
    return new Source(volts, ohm, true, true);
  }

  @Test
  void chargerGivesItsCurrentUntilItsVoltageIsReached() {
    Bus bus = new Bus(1);

    bus.solve(List.of(closed(13.3, 0.01)), 10, 14.0, 0);

    assertThat(bus.amperes(0)).isCloseTo(10, within(1e-9));
    assertThat(bus.busV()).isCloseTo(13.4, within(1e-9));
  }

  @Test
  void chargerHoldsItsVoltage() {
    Bus bus = new Bus(1);

    bus.solve(List.of(closed(13.95, 0.01)), 10, 14.0, 0);

    assertThat(bus.busV()).isCloseTo(14.0, within(1e-9));
    assertThat(bus.amperes(0)).isCloseTo(5, within(1e-6));
  }

  @Test
  void loadIsFedByTheChargerFirst() {
    Bus bus = new Bus(1);

    bus.solve(List.of(closed(13.3, 0.01)), 10, 14.0, 4);

    assertThat(bus.amperes(0)).isCloseTo(6, within(1e-9));
  }

  @Test
  void packsShareByTheirResistance() {
    Bus bus = new Bus(2);

    bus.solve(List.of(closed(13.3, 0.01), closed(13.3, 0.02)), 0, 0, 30);

    assertThat(bus.amperes(0)).isCloseTo(-20, within(1e-9));
    assertThat(bus.amperes(1)).isCloseTo(-10, within(1e-9));
  }

  @Test
  void fullerPackChargesTheOther() {
    Bus bus = new Bus(2);

    bus.solve(List.of(closed(13.4, 0.01), closed(13.2, 0.01)), 0, 0, 0);

    assertThat(bus.amperes(0)).isCloseTo(-10, within(1e-9));
    assertThat(bus.amperes(1)).isCloseTo(10, within(1e-9));
  }

  @Test
  void openChargeSwitchStopsChargeButNotDischarge() {
    Bus bus = new Bus(1);
    Source noCharge = new Source(13.9, 0.01, false, true);

    bus.solve(List.of(noCharge), 10, 14.2, 0);
    double charging = bus.amperes(0);
    bus.solve(List.of(noCharge), 0, 0, 5);

    assertThat(charging).isZero();
    assertThat(bus.amperes(0)).isCloseTo(-5, within(1e-9));
  }

  @Test
  void busIsDeadWithoutPackAndCharger() {
    Bus bus = new Bus(1);

    bus.solve(List.of(new Source(13.0, 0.01, true, false)), 0, 0, 5);

    assertThat(bus.amperes(0)).isZero();
    assertThat(bus.busV()).isZero();
  }
}
