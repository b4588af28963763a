package org.cellherd.pile;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.OptionalDouble;
import java.util.Random;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class CurrentShareTest {

  private static Matching.Candidate unit(String id, double mohm) {
    return new Matching.Candidate(id, "", 5, 0, OptionalDouble.of(mohm));
  }

  private static Matching.Group drawn(Random random, int count) {
    return new Matching.Group(
        IntStream.range(0, count)
            .mapToObj(i -> unit("u" + i, 5 + 40 * random.nextDouble()))
            .toList());
  }

  @Test
  void twoUnitsOfFiveMilliohmFiftyMillivoltsApartPassFiveAmperes() {
    Matching.Group two = new Matching.Group(List.of(unit("a", 5), unit("b", 5)));

    double[] amperes = equalising(two, new double[] {3.300, 3.350});

    assertThat(amperes[0]).isCloseTo(5, within(1e-6));
    assertThat(amperes[1]).isCloseTo(-5, within(1e-6));
    assertThat(CurrentShare.nearEnoughMv(two, 5).orElseThrow()).isCloseTo(50, within(1e-9));
  }

  /** The circuit solved by another method: the voltage of the joint bus found by halving. */
  @Test
  void sharesAreThoseOfTheCircuit() {
    Random random = new Random(11);
    for (int n = 2; n < 9; n++) {
      Matching.Group group = drawn(random, n);
      double load = 30 * random.nextDouble();

      double even = bus(group, new double[n], load);
      List<CurrentShare> shares = CurrentShare.of(group, load);

      for (int i = 0; i < n; i++) {
        double ohm = group.units().get(i).mohm().orElseThrow() / 1000;
        assertThat(shares.get(i).middleA()).isCloseTo(even / ohm, within(1e-6));
      }
    }
  }

  @Test
  void nearEnoughKeepsTheGreatestFirstCurrentAtTheLimit() {
    Random random = new Random(12);
    for (int n = 2; n < 9; n++) {
      Matching.Group group = drawn(random, n);
      double mv = CurrentShare.nearEnoughMv(group, 4).orElseThrow();
      double worst = 0;
      for (int high = 0; high < n; high++) {
        double[] volts = new double[n];
        volts[high] = mv / 1000;
        worst = Math.max(worst, Math.abs(equalising(group, volts)[high]));
      }
      assertThat(worst).isCloseTo(4, within(1e-6));
    }
  }

  @Test
  void withoutResistancesNothingIsSaid() {
    Matching.Group group =
        new Matching.Group(List.of(new Matching.Candidate("a", "", 5, 0, OptionalDouble.empty())));

    assertThat(CurrentShare.of(group, 10)).isEmpty();
    assertThat(CurrentShare.nearEnoughMv(group, 10)).isEmpty();
  }

  /** The first current into each unit when all are joined at one instant, A. */
  private static double[] equalising(Matching.Group group, double[] volts) {
    double bus = bus(group, volts, 0);
    return IntStream.range(0, volts.length)
        .mapToDouble(i -> 1000 * (bus - volts[i]) / group.units().get(i).mohm().orElseThrow())
        .toArray();
  }

  /** Voltage at which the currents into all units sum up to what comes in. */
  private static double bus(Matching.Group group, double[] volts, double amperesIn) {
    double low = -1000;
    double high = 1000;
    for (int step = 0; step < 200; step++) {
      double middle = (low + high) / 2;
      double in = 0;
      for (int i = 0; i < volts.length; i++) {
        in += (middle - volts[i]) / (group.units().get(i).mohm().orElseThrow() / 1000);
      }
      if (in < amperesIn) {
        low = middle;
      } else {
        high = middle;
      }
    }
    return (low + high) / 2;
  }
}
