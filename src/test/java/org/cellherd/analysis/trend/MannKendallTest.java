package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.apache.commons.math3.stat.correlation.KendallsCorrelation;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class MannKendallTest {

  /** Worked example "Mann-Kendall by hand" of a course at the College of the Holy Cross. */
  private static final double[] BY_HAND = {
    12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7
  };

  @Test
  void givesTheExampleWorkedByHand() {
    MannKendall test = MannKendall.of(BY_HAND);

    assertThat(test.s()).isEqualTo(54);
    assertThat(test.variance()).isCloseTo(332.6667, within(1e-4));
    assertThat(test.z()).isCloseTo(2.9058, within(1e-4));
    assertThat(test.oneSided()).isCloseTo(0.0018, within(1e-4));
    assertThat(test.isTrend(0.99)).isTrue();
  }

  /** tau-b of the reference library times the root of all pairs and untied pairs is s. */
  @Test
  void agreesWithTheReferenceLibrary() {
    double[] index = new double[BY_HAND.length];
    for (int i = 0; i < index.length; i++) {
      index[i] = i;
    }
    double tau = new KendallsCorrelation().correlation(index, BY_HAND);

    assertThat(tau).isCloseTo(0.5966941897186163, within(1e-12));
    assertThat(MannKendall.of(BY_HAND).s()).isEqualTo((int) Math.rint(tau * Math.sqrt(91 * 90)));
  }

  /** Exact upper tails; the same as table A18 of Gilbert (1987). */
  @ParameterizedTest
  @CsvSource({
    "4, 6, .04167", "5, 10, .00833", "5, 8, .04167", "6, 15, .00139", "6, 13, .00833",
    "6, 11, .02778", "7, 15, .01508", "7, 13, .03452", "8, 18, .01558", "8, 16, .03051",
    "8, 14, .05434", "9, 20, .02231", "9, 18, .03759", "10, 23, .02331", "10, 25, .01430",
    "10, 27, .00833"
  })
  void exactTailOfFewValues(int n, int s, double p) {
    assertThat(MannKendall.exactTail(n, s)).isCloseTo(p, within(5e-6));
  }

  @Test
  void usesTheExactTableForFewValuesWithoutTies() {
    assertThat(MannKendall.of(1, 2, 3, 4).oneSided()).isCloseTo(1 / 24.0, within(1e-15));
    assertThat(MannKendall.of(4, 3, 2, 1).oneSided()).isCloseTo(1 / 24.0, within(1e-15));
  }

  @Test
  void constantValuesAreNoTrend() {
    MannKendall test = MannKendall.of(5, 5, 5, 5, 5, 5);

    assertThat(test.z()).isZero();
    assertThat(test.isTrend(0.9)).isFalse();
  }
}
