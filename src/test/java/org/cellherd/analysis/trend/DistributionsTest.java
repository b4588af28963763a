package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.apache.commons.math3.distribution.NormalDistribution;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class DistributionsTest {

  @ParameterizedTest
  @ValueSource(doubles = {-6, -3.1, -1, 0, 0.5, 1.96, 2.9, 3.0, 3.1, 5, 8})
  void normalTailAgreesWithTheReferenceLibrary(double z) {
    double expected = new NormalDistribution().cumulativeProbability(-z);

    assertThat(Normal.upperTail(z)).isCloseTo(expected, within(1e-14));
  }

  @ParameterizedTest
  @ValueSource(doubles = {1e-6, 0.001, 0.025, 0.3, 0.5, 0.8, 0.975, 0.9999})
  void normalQuantileAgreesWithTheReferenceLibrary(double p) {
    double expected = new NormalDistribution().inverseCumulativeProbability(p);

    assertThat(Normal.quantile(p)).isCloseTo(expected, within(1e-9));
  }
}
