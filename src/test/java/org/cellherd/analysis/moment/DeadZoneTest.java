package org.cellherd.analysis.moment;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.OptionalInt;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The current below which a board prints 0, from what it prints. */
class DeadZoneTest {
  private static final long RATED_MAH = 100_000;

  private static DeadZone zone() {
    return new DeadZone(OptionalInt.empty(), RATED_MAH);
  }

  /** A drawn charge whose current falls through the edge of the zone with a drawn noise. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void anEdgeThatANoisyCurrentCrossesManyTimesIsStillFound(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    int edgeMa = random.nextInt(250, 1_400);
    int stepMa = random.nextBoolean() ? 10 : 100;
    double noiseMa = random.nextDouble(5, 40);
    double fallMa = random.nextDouble(0.5, 10);
    DeadZone zone = zone();

    for (double ma = 3 * edgeMa; ma > 0.5 * edgeMa; ma -= fallMa) {
      double read = ma + noiseMa * (random.nextDouble() + random.nextDouble() - 1) * 2;
      zone.accept(read < edgeMa ? 0 : (int) Math.round(read / stepMa) * stepMa);
    }

    assertThat(zone.ma())
        .as("seed %d: edge %d mA, steps of %d mA, noise %.0f mA", seed, edgeMa, stepMa, noiseMa)
        .isBetween((int) (0.75 * edgeMa), (int) (edgeMa + stepMa + 2 * noiseMa));
  }

  @Test
  void aMuchSmallerCurrentRefutesAZone() {
    DeadZone zone = zone();
    for (int ma : new int[] {2000, 1900, 1200, 1100, 0, 0, 1000, 0, 200}) {
      zone.accept(ma);
    }

    assertThat(zone.ma()).isLessThan(200);
  }
}
