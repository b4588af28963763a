package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class MediansTest {
  @Test
  void equalWeightsGiveThePlainMedian() {
    SplittableRandom random = new SplittableRandom(20_261_130);
    for (int n = 1; n < 12; n++) {
      double[] values = random.doubles(n, -5, 5).toArray();
      double[] weights = new double[n];
      Arrays.fill(weights, 0.7);

      assertThat(Medians.weighted(values, weights))
          .isCloseTo(Medians.median(values), within(1e-12));
    }
  }

  @Test
  void twoValuesGiveTheirWeightedMean() {
    assertThat(Medians.weighted(new double[] {8, 4}, new double[] {3, 1})).isEqualTo(7);
  }

  /** A step that tells little may show anything. */
  @Test
  void aHeavyValueOutweighsAWildOne() {
    double found = Medians.weighted(new double[] {2, 1_000, 2.1}, new double[] {10, 1, 10});

    assertThat(found).isBetween(2.0, 2.1);
  }

  @Test
  void noValuesGiveNone() {
    assertThat(Medians.weighted(new double[0], new double[0])).isNaN();
  }
}
