package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.time.Instant;
import org.junit.jupiter.api.Test;

class SurroundingsTest {

  private static final Chance CHANCE = new Chance(4);

  private static long at(String time) {
    return Instant.parse(time).toEpochMilli();
  }

  private static double wattHours(Sun sun, String day) {
    double sum = 0;
    for (long t = at(day); t < at(day) + 86_400_000; t += 60_000) {
      sum += sun.watts(t) / 60;
    }
    return sum;
  }

  @Test
  void summerDaysAreLongerThanWinterDays() {
    Sun sun = new Sun(new Sun.Traits(1000, 50, 0), 0, CHANCE);

    assertThat(sun.watts(at("2026-06-21T05:00:00Z"))).isPositive();
    assertThat(sun.watts(at("2026-12-21T07:00:00Z"))).isZero();
    // 50 degrees north: midday height 63.4 and 16.6 degrees at the solstices.
    assertThat(sun.watts(at("2026-06-21T12:00:00Z")))
        .isCloseTo(1000 * Math.pow(Math.sin(Math.toRadians(63.44)), 1.15), within(2.0));
    assertThat(wattHours(sun, "2026-06-21T00:00:00Z"))
        .isGreaterThan(5 * wattHours(sun, "2026-12-21T00:00:00Z"));
  }

  @Test
  void nightIsDark() {
    Sun sun = new Sun(new Sun.Traits(1000, 50, 0.5), 0, CHANCE);

    assertThat(sun.watts(at("2026-06-21T00:00:00Z"))).isZero();
  }

  @Test
  void cloudsTakeTheirShare() {
    Sun clear = new Sun(new Sun.Traits(1000, 50, 0), 0, CHANCE);
    Sun grey = new Sun(new Sun.Traits(1000, 50, 0.6), 0, CHANCE);
    double clearWh = 0;
    double greyWh = 0;

    for (int day = 10; day < 30; day++) {
      clearWh += wattHours(clear, "2026-06-" + day + "T00:00:00Z");
      greyWh += wattHours(grey, "2026-06-" + day + "T00:00:00Z");
    }

    assertThat(greyWh / clearWh).isBetween(0.25, 0.8);
  }

  @Test
  void afternoonsAndSummersAreWarmer() {
    Ambient air = new Ambient(new Ambient.Traits(10, 5, 9, 0), 0, CHANCE);

    assertThat(air.celsius(at("2026-07-20T15:00:00Z"))).isCloseTo(24, within(0.1));
    assertThat(air.celsius(at("2026-01-19T03:00:00Z"))).isCloseTo(-4, within(0.1));
  }

  @Test
  void loadRunsAtItsHoursAndPeriods() {
    Load lamp = new Load(new Load.Traits(24, 0, 22, 2, 600, 60, 0, 0, Long.MAX_VALUE), 0, CHANCE);

    assertThat(lamp.amperes(at("2026-01-10T23:00:30Z"), 12)).isEqualTo(2);
    assertThat(lamp.amperes(at("2026-01-10T23:05:00Z"), 12)).isZero();
    assertThat(lamp.amperes(at("2026-01-11T01:50:00Z"), 12)).isEqualTo(2);
    assertThat(lamp.amperes(at("2026-01-10T12:00:00Z"), 12)).isZero();
  }
}
