package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.apache.commons.math3.distribution.TDistribution;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class StudentTTest {

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 12, 40, 500})
  void studentQuantileAgreesWithTheReferenceLibraries(int freedom) {
    double expected = new TDistribution(freedom).inverseCumulativeProbability(0.975);
    double second =
        new org.hipparchus.distribution.continuous.TDistribution(freedom)
            .inverseCumulativeProbability(0.975);

    assertThat(StudentT.forConfidence(0.95, freedom))
        .isCloseTo(expected, within(1e-8))
        .isCloseTo(second, within(1e-8));
  }

  @Test
  void studentQuantileOfTwelveDegrees() {
    assertThat(StudentT.forConfidence(0.95, 12)).isCloseTo(2.178812829667249, within(1e-11));
  }
}
