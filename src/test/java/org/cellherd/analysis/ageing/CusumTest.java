package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class CusumTest {

  /** NIST/SEMATECH e-Handbook of Statistical Methods 6.3.2.3, from memory. */
  private static final double[] NIST = {
    324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600,
    324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350
  };

  /** Montgomery and Runger, Applied Statistics and Probability for Engineers, table 16-7. */
  private static final double[] RUNGER = {
    102.0, 94.8, 98.3, 98.4, 102.0, 98.5, 99.0, 97.7, 100.0, 98.1, 101.3, 98.7, 101.1, 98.4, 97.0,
    96.7, 100.3, 101.4, 97.2, 101.0
  };

  /** Montgomery, Introduction to Statistical Quality Control, 30 values of table 9.1. */
  private static final double[] MONTGOMERY = {
    9.45, 7.99, 9.29, 11.66, 12.16, 10.18, 8.04, 11.46, 9.20, 10.34, 9.03, 11.47, 10.51, 9.40,
    10.08, 9.37, 10.62, 10.31, 8.52, 10.84, 10.90, 9.33, 12.29, 11.50, 10.60, 11.08, 10.38, 11.62,
    11.31, 10.52
  };

  @Test
  void givesTheHandbookExample() {
    Cusum chart = new Cusum(325, 0.3175, 4.1959);

    assertThat(highs(chart, NIST))
        .usingElementComparator((a, b) -> Math.abs(a - b) < 1e-9 ? 0 : 1)
        .containsExactly(
            0.0, 0.0, 0.0, 0.0, 0.0325, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 3.0075, 4.9400, 7.4475,
            10.6300, 11.9875, 14.4450, 16.0025, 19.0350);
    assertThat(firstAlarm(new Cusum(325, 0.3175, 4.1959), NIST)).isEqualTo(14);
  }

  @Test
  void lowerArmOfTheHandbookExample() {
    Cusum chart = new Cusum(325, 0.3175, 4.1959);
    double[] expected = {
      0, 0.0075, 0, 0.3325, 0, 0, 0.5575, 0.7150, 0.1725, 0.2550, 0.3125, 0, 0, 0, 0, 0, 0, 0, 0, 0
    };
    for (int i = 0; i < NIST.length; i++) {
      chart.add(NIST[i]);
      assertThat(chart.low()).isCloseTo(expected[i], within(1e-9));
    }
  }

  @Test
  void staysQuietOnMontgomeryAndRunger() {
    double[] expected = {2, 0, 0, 0, 2, 0.5, 0, 0, 0, 0, 1.3, 0, 1.1, 0, 0, 0, 0.3, 1.7, 0, 1};
    Cusum chart = new Cusum(99, 1, 10);
    List<Double> highs = highs(chart, RUNGER);
    for (int i = 0; i < expected.length; i++) {
      assertThat(highs.get(i)).isCloseTo(expected[i], within(1e-9));
    }

    assertThat(firstAlarm(new Cusum(99, 1, 10), RUNGER)).isZero();
  }

  @Test
  void findsTheShiftOfMontgomeryAndItsOnset() {
    Cusum chart = new Cusum(10, 0.5, 5);
    assertThat(firstAlarm(chart, MONTGOMERY)).isEqualTo(29);

    assertThat(chart.high()).isCloseTo(5.28, within(0.005));
    assertThat(chart.run()).isEqualTo(7);
    assertThat(chart.onset()).isEqualTo(22);
  }

  private static List<Double> highs(Cusum chart, double[] values) {
    List<Double> highs = new ArrayList<>();
    for (double v : values) {
      chart.add(v);
      highs.add(chart.high());
    }
    return highs;
  }

  /** Number of the first value that alarms, 0 for none; stops there. */
  private static int firstAlarm(Cusum chart, double[] values) {
    for (int i = 0; i < values.length; i++) {
      if (chart.add(values[i])) {
        return i + 1;
      }
    }
    return 0;
  }
}
