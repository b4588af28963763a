package org.cellherd.analysis.estimate;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;

class DrawsTest {
  private static final double NONE = Double.NaN;

  /** Lead of the second of two cells. */
  private static Interval lead(double[] places, double[][] spread, double... tops) {
    return Draws.of(places, spread).leads(places, tops).get(1);
  }

  /** A difference of two normal numbers has the root of both variances; 1.96 of it are 95 %. */
  @Test
  void aLeadHasTheErrorsOfBothCells() {
    Interval lead = lead(new double[] {0, 2}, new double[][] {{0.01, 0}, {0, 0.01}}, NONE, NONE);

    assertThat(lead.mid()).isEqualTo(2);
    assertThat(lead.low()).isCloseTo(2 - 1.96 * 0.1414, within(0.05));
    assertThat(lead.high()).isCloseTo(2 + 1.96 * 0.1414, within(0.05));
  }

  @Test
  void overACellThatStandsBelowAPlaceALeadIsAtLeastThatFarFromThere() {
    double[][] spread = {{1e-4, 0}, {0, 1e-4}};

    assertThat(lead(new double[] {0, 2}, spread, 0.5, NONE).low()).isCloseTo(1.5, within(0.05));
  }

  /** As a filter's rounding leaves it: two places that are one, but not quite to a third. */
  @Test
  void aCovarianceThatRoundingHasSpoiledGivesNoWildLead() {
    double spoiled = 50 * (1 + 1e-6);
    double[][] spread = {{100, 100, 50}, {100, 100, spoiled}, {50, spoiled, 30}};
    double[] places = {0, 20, 100};

    Interval lead = Draws.of(places, spread).leads(places, new double[] {NONE, NONE, NONE}).get(2);

    double half = 1.96 * Math.sqrt(100 + 30 - 2 * 50);
    assertThat(lead.low()).isCloseTo(100 - half, within(2.0));
    assertThat(lead.high()).isCloseTo(100 + half, within(2.0));
  }

  private static Interval hours(double amperes, double error) {
    double[] likely = {0, 2, amperes};
    double[][] spread = {{1e-6, 0, 0}, {0, 1e-6, 0}, {0, 0, error * error}};
    return Draws.of(likely, spread).hours(likely, 2, 0.5, 1);
  }

  /** 1.5 Ah at 0.1 A and 10 %: 15 h, and by 1.96 of its errors 12.5 to 18.7 h (arithmetic). */
  @Test
  void hoursAreWhatIsLeftOverACurrentWithItsError() {
    Interval hours = hours(0.1, 0.01);

    assertThat(hours.mid()).isCloseTo(15, within(0.2));
    assertThat(hours.low()).isCloseTo(12.5, within(0.3));
    assertThat(hours.high()).isCloseTo(18.7, within(0.5));
  }

  @Test
  void hoursHaveNoEndWhereTheCurrentMayBeNone() {
    Interval hours = hours(0.06, 0.05);

    assertThat(hours.high()).isInfinite();
    assertThat(hours.low()).isCloseTo(1.5 / (0.06 + 1.96 * 0.05), within(1.0));
  }
}
