package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class TheilSenTest {

  /** The example of Sen (1968), as in the test suite of SciPy. */
  @Test
  void givesTheExampleOfSen() {
    double[] t = {1, 2, 3, 4, 10, 12, 18};
    double[] y = {9, 15, 19, 20, 45, 55, 78};

    TheilSen fit = TheilSen.through(t, y, 0.93).orElseThrow();

    assertThat(fit.slope()).isEqualTo(4);
    assertThat(fit.intercept()).isEqualTo(4);
    assertThat(fit.jointIntercept(t, y)).isEqualTo(6);
    assertThat(fit.low()).isCloseTo(3.71, within(0.01));
    assertThat(fit.high()).isCloseTo(4.38, within(0.01));
  }

  /** A case of SciPy's test suite. */
  @Test
  void givesAShortExample() {
    TheilSen fit =
        TheilSen.through(new double[] {0, 1, 2}, new double[] {0, 1, 1}, 0.95).orElseThrow();

    assertThat(fit.slope()).isEqualTo(0.5);
    assertThat(fit.intercept()).isEqualTo(0.5);
  }

  /** Values computed with SciPy from the Mann-Kendall example worked by hand. */
  @Test
  void limitsCountTies() {
    double[] y = {
      12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7
    };

    TheilSen fit = TheilSen.through(index(y.length), y, 0.95).orElseThrow();

    assertThat(fit.slope()).isCloseTo(0.566667, within(1e-6));
    assertThat(fit.intercept()).isCloseTo(11.966667, within(1e-6));
    assertThat(fit.low()).isCloseTo(0.325, within(1e-6));
    assertThat(fit.high()).isCloseTo(0.866667, within(1e-6));
  }

  @Test
  void aWildValueDoesNotMoveTheSlope() {
    double[] y = {1, 2, 3, 4, 31, 6, 7, 8};

    assertThat(TheilSen.through(index(8), y, 0.95).orElseThrow().slope()).isEqualTo(1);
  }

  @Test
  void needsTwoDifferentTimes() {
    assertThat(TheilSen.through(new double[] {1, 1}, new double[] {1, 2}, 0.95)).isEmpty();
  }

  static double[] index(int n) {
    double[] x = new double[n];
    for (int i = 0; i < n; i++) {
      x[i] = i;
    }
    return x;
  }
}
