package org.cellherd.analysis.capacity;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.Random;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.CapacityResult.Limit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class FallingBehindTest {
  private static final long DAY_MS = 86_400_000;
  private static final int DRAWS = 400;

  private final Random random = new Random(0x5DEECE66DL);

  /** A season of invented discharges, all ended by one cell that loses charge between them. */
  private final class Season {
    final double ratedAh = 10 + 300 * random.nextDouble();
    final double holdsAh = ratedAh * (0.7 + 0.3 * random.nextDouble());
    final double gain = 1 + 0.04 * (random.nextDouble() - 0.5);
    final double perKelvin = 0.01 * random.nextDouble();
    final double overOne = 0.05 * random.nextDouble();
    final double firstC = 5 + 25 * random.nextDouble();
    final double coolingC = 25 * (random.nextDouble() - 0.7);
    final double unsureAh = 0.01 * ratedAh * random.nextDouble();
    final int tests = 4 + random.nextInt(30);
    final double days = 4 + 90 * random.nextDouble();

    Optional<Interval> told(double lostAhPerDay, boolean wasBehind) {
      FallingBehind falling = new FallingBehind(ratedAh);
      for (int i = 0; i < tests; i++) {
        falling.add(test(days * i / (tests - 1), lostAhPerDay), wasBehind);
      }
      return falling.ahPerDay();
    }

    private CapacityTest test(double day, double lostAhPerDay) {
      double tempC = Math.max(0.5, firstC + coolingC * day / days);
      double amps = ratedAh * 0.1 * Math.pow(2, random.nextDouble() - 0.5);
      double cold = 1 - perKelvin * Math.max(0, 25 - tempC);
      double slow = Math.pow(amps / (0.1 * ratedAh), -overOne);
      double chance = unsureAh * (2 * random.nextDouble() - 1);
      double ah = gain * (holdsAh * cold * slow - lostAhPerDay * day) + chance;
      return new CapacityTest(
          (long) (day * DAY_MS),
          new Interval(0.97 * ah - unsureAh, ah, 1.03 * ah + unsureAh),
          unsureAh,
          amps,
          tempC,
          2500,
          ChargeTermination.TAIL,
          1,
          2,
          Limit.UNKNOWN);
    }
  }

  @Test
  void sayNoFallOfACellThatLosesNothing() {
    for (int draw = 0; draw < DRAWS; draw++) {
      assertThat(new Season().told(0, true)).as("draw %d", draw).isEmpty();
    }
  }

  @Test
  void theFallLiesWithinItsBounds() {
    int told = 0;
    int held = 0;
    for (int draw = 0; draw < DRAWS; draw++) {
      Season season = new Season();
      double lost = 0.6 * season.holdsAh / season.days * random.nextDouble();
      Optional<Interval> fall = season.told(lost, true);
      told += fall.isPresent() ? 1 : 0;
      held += fall.filter(f -> f.low() <= lost && lost <= f.high()).isPresent() ? 1 : 0;
    }
    System.out.printf("a cell that falls behind: %d of %d told, %d hold%n", told, DRAWS, held);
    assertThat(told).isGreaterThan(DRAWS / 3);
    assertThat(held).isGreaterThanOrEqualTo((int) Math.floor(0.95 * told));
  }

  /** A cell that was full with the others gives less because it holds less. */
  @ParameterizedTest
  @ValueSource(doubles = {0.2, 0.5})
  void aWornCellDoesNotFallBehind(double share) {
    Season season = new Season();
    assertThat(season.told(share * season.holdsAh / season.days, false)).isEmpty();
  }
}
