package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.cellherd.analysis.state.SavedState;
import org.junit.jupiter.api.Test;

class RainflowTest {

  /** ASTM E1049-85, figure 6. */
  @Test
  void countsOfTheStandardsExample() {
    List<double[]> cycles = count(-2, 1, -3, 5, -1, 3, -4, 4, -2);

    assertThat(byRange(cycles)).isEqualTo(Map.of(3.0, 0.5, 4.0, 1.5, 6.0, 0.5, 8.0, 1.0, 9.0, 0.5));
    assertThat(cycles.stream().map(Arrays::toString))
        .containsExactly(
            "[3.0, -0.5, 0.5]",
            "[4.0, -1.0, 0.5]",
            "[4.0, 1.0, 1.0]",
            "[8.0, 1.0, 0.5]",
            "[9.0, 0.5, 0.5]",
            "[8.0, 0.0, 0.5]",
            "[6.0, 1.0, 0.5]");
  }

  /** The long example on the page of the Python package "rainflow". */
  @Test
  void countsOfAPublishedLongSeries() {
    double[] y = new double[201];
    for (int i = 0; i <= 200; i++) {
      double t = 4.0 * i / 200;
      y[i] = 0.2 + 0.5 * Math.sin(t) + 0.2 * Math.cos(10 * t) + 0.2 * Math.sin(4 * t);
    }
    double[][] expected = {
      {0.04258965150708488, 0.5}, {0.10973439445727551, 1}, {0.11294628078612906, 0.5},
      {0.2057106991158965, 1}, {0.21467990941625242, 1}, {0.4388985979776988, 1},
      {0.48305748051348263, 0.5}, {0.5286423866535466, 0.5}, {0.7809330293159786, 0.5},
      {1.4343610172143002, 0.5}
    };

    List<Map.Entry<Double, Double>> found =
        new ArrayList<>(byRange(count(turningPoints(y))).entrySet());

    assertThat(found).hasSize(10);
    for (int i = 0; i < 10; i++) {
      assertThat(found.get(i).getKey()).isCloseTo(expected[i][0], within(1e-12));
      assertThat(found.get(i).getValue()).isEqualTo(expected[i][1]);
    }
  }

  /** An own example of a state of charge. */
  @Test
  void countsOfAStateOfCharge() {
    List<double[]> cycles = count(100, 55, 98, 60, 100, 40, 70, 65, 100);

    assertThat(cycles.stream().map(Arrays::toString))
        .containsExactly(
            "[38.0, 79.0, 1.0]",
            "[45.0, 77.5, 0.5]",
            "[45.0, 77.5, 0.5]",
            "[5.0, 67.5, 1.0]",
            "[60.0, 70.0, 0.5]",
            "[60.0, 70.0, 0.5]");
    assertThat(weighted(cycles) / 100).isCloseTo(1.48, within(1e-12));
  }

  @Test
  void rangesTimesCountsAreHalfThePathOfAnySeries() {
    Random random = new Random(17);
    for (int run = 0; run < 200; run++) {
      double[] y = new double[2 + random.nextInt(300)];
      for (int i = 0; i < y.length; i++) {
        y[i] = random.nextInt(101);
      }
      double path = 0;
      for (int i = 1; i < y.length; i++) {
        path += Math.abs(y[i] - y[i - 1]);
      }

      assertThat(weighted(count(turningPoints(y)))).isCloseTo(path / 2, within(1e-9));
    }
  }

  @Test
  void theStackIsBounded() {
    Rainflow flow = new Rainflow();
    for (int i = 0; i < 10_000; i++) {
      flow.reversal((i % 2 == 0 ? 1 : -1) * (10_000.0 - i), (r, m, c) -> {});
    }

    assertThat(flow.size()).isLessThanOrEqualTo(512);
  }

  @Test
  void smallMovesAreNoReversals() {
    Reversals reversals = new Reversals(2);
    Rainflow flow = new Rainflow();
    for (double v : new double[] {100, 80, 81, 60, 61.5, 60, 90}) {
      reversals.accept(v, flow, (r, m, c) -> {});
    }

    assertThat(flow.size()).isEqualTo(2);
  }

  @Test
  void goesOnExactlyFromASavedState() {
    Rainflow first = new Rainflow();
    for (double v : new double[] {-2, 1, -3, 5}) {
      first.reversal(v, (r, m, c) -> {});
    }
    Rainflow second = new Rainflow();
    SavedState.of(first::state).into(second::state);
    List<Double> ranges = new ArrayList<>();
    for (double v : new double[] {-1, 3, -4}) {
      second.reversal(v, (r, m, c) -> ranges.add(r));
    }

    assertThat(ranges).containsExactly(4.0, 8.0);
  }

  private static List<double[]> count(double... reversals) {
    List<double[]> cycles = new ArrayList<>();
    Rainflow flow = new Rainflow();
    Rainflow.Cycles sink = (range, mean, count) -> cycles.add(new double[] {range, mean, count});
    for (double v : reversals) {
      flow.reversal(v, sink);
    }
    flow.residue(sink);
    return cycles;
  }

  private static double[] turningPoints(double[] y) {
    List<Double> points = new ArrayList<>();
    points.add(y[0]);
    double last = y[0];
    int direction = 0;
    for (int i = 1; i < y.length; i++) {
      int step = (int) Math.signum(y[i] - last);
      if (step != 0 && direction != 0 && step != direction) {
        points.add(last);
      }
      direction = step == 0 ? direction : step;
      last = y[i];
    }
    points.add(last);
    return points.stream().mapToDouble(Double::doubleValue).toArray();
  }

  private static Map<Double, Double> byRange(List<double[]> cycles) {
    Map<Double, Double> sums = new TreeMap<>();
    cycles.forEach(c -> sums.merge(c[0], c[2], Double::sum));
    return sums;
  }

  private static double weighted(List<double[]> cycles) {
    return cycles.stream().mapToDouble(c -> c[0] * c[2]).sum();
  }
}
