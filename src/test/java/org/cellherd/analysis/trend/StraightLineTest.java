package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.apache.commons.math3.stat.regression.SimpleRegression;
import org.junit.jupiter.api.Test;

class StraightLineTest {

  /** NIST StRD linear regression "Norris", pairs y x, from memory. */
  private static final double[] NORRIS = {
    0.1, 0.2, 338.8, 337.4, 118.1, 118.2, 888.0, 884.6, 9.2, 10.1, 228.1, 226.5, 668.5, 666.3,
    998.5, 996.3, 449.1, 448.6, 778.9, 777.0, 559.2, 558.2, 0.3, 0.4, 0.1, 0.6, 778.1, 775.5, 668.8,
    666.9, 339.3, 338.0, 448.9, 447.5, 10.8, 11.6, 557.7, 556.0, 228.3, 228.1, 998.0, 995.8, 888.8,
    887.6, 119.6, 120.2, 0.3, 0.3, 0.6, 0.3, 557.6, 556.8, 339.3, 339.1, 888.0, 887.2, 998.5, 999.0,
    778.9, 779.0, 10.2, 11.1, 117.6, 118.3, 228.9, 229.2, 668.4, 669.1, 449.2, 448.9, 0.2, 0.5
  };

  @Test
  void givesTheCertifiedValuesOfNorris() {
    StraightLine line = StraightLine.through(column(1), column(0)).orElseThrow();

    assertThat(line.intercept()).isCloseTo(-0.262323073774029, within(1e-9));
    assertThat(line.slope()).isCloseTo(1.00211681802045, within(1e-9));
    assertThat(line.interceptError()).isCloseTo(0.232818234301152, within(1e-9));
    assertThat(line.slopeError()).isCloseTo(0.000429796848199937, within(1e-9));
    assertThat(line.residualDeviation()).isCloseTo(0.884796396144373, within(1e-9));
  }

  /** Own example of a pack: current discharging positive, V = 3.310 - 0.0008 I and scatter. */
  @Test
  void findsTheResistanceOfAnOwnExample() {
    double[] current = {0, 5, 20, 20, 10, 0, -10, -10, 30, 2, 0, 15};
    double[] scatter = {0, 1, -1, 0, 1, 0, -1, 1, 0, -1, 1, 0};
    double[] volts = new double[current.length];
    for (int i = 0; i < volts.length; i++) {
      volts[i] = 3.310 - 0.0008 * current[i] + 0.0005 * scatter[i];
    }

    StraightLine line = StraightLine.through(current, volts).orElseThrow();

    assertThat(line.intercept()).isCloseTo(3.31006957, within(5e-9));
    assertThat(-line.slope()).isCloseTo(0.000804083842, within(5e-13));
  }

  @Test
  void agreesWithTheReferenceLibrary() {
    double[] x = {1, 2, 4, 8, 9};
    double[] y = {3, 1, 4, 1, 5};
    SimpleRegression reference = new SimpleRegression();
    for (int i = 0; i < x.length; i++) {
      reference.addData(x[i], y[i]);
    }

    StraightLine line = StraightLine.through(x, y).orElseThrow();

    assertThat(line.slope()).isCloseTo(reference.getSlope(), within(1e-14));
    assertThat(line.slopeError()).isCloseTo(reference.getSlopeStdErr(), within(1e-14));
    assertThat(line.intercept()).isCloseTo(reference.getIntercept(), within(1e-13));
  }

  @Test
  void needsTwoDifferentTimes() {
    assertThat(StraightLine.through(new double[] {2, 2}, new double[] {1, 3})).isEmpty();
    assertThat(StraightLine.through(new double[0], new double[0])).isEmpty();
  }

  private static double[] column(int which) {
    double[] values = new double[NORRIS.length / 2];
    for (int i = 0; i < values.length; i++) {
      values[i] = NORRIS[2 * i + which];
    }
    return values;
  }
}
