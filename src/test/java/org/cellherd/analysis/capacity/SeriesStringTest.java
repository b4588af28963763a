package org.cellherd.analysis.capacity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;

/** Own check values, worked out by hand. */
class SeriesStringTest {

  @Test
  void differentCellsAtTheTwoEndsAreImbalance() {
    SeriesString string = new SeriesString(exactly(95, 98, 99, 97), exactly(5, 4, 1, 3));

    assertThat(string.usable()).isEqualTo(Interval.exactly(96));
    assertThat(string.balanced()).isEqualTo(Interval.exactly(100));
    assertThat(string.imbalanceCosts()).isEqualTo(Interval.exactly(4));
    assertThat(string.firstEmpty()).isEqualTo(1);
    assertThat(string.firstFull()).isEqualTo(3);
  }

  @Test
  void oneCellAtBothEndsIsSmallAndBalancingBringsNothing() {
    SeriesString string = new SeriesString(exactly(90, 98, 99, 97), exactly(0, 4, 1, 3));

    assertThat(string.imbalanceCosts()).isEqualTo(Interval.exactly(0));
    assertThat(string.smallest()).isEqualTo(1);
    assertThat(string.smallestCosts().mid()).isCloseTo(10, within(1e-9));
  }

  @Test
  void whatIsKnownWithinBoundsGivesBounds() {
    SeriesString string =
        new SeriesString(
            List.of(Interval.exactly(0), new Interval(2, 3, 4)),
            List.of(new Interval(99, 100, 101), Interval.exactly(95)));

    assertThat(string.usable()).isEqualTo(Interval.exactly(95));
    assertThat(string.balanced()).isEqualTo(new Interval(97, 98, 99));
    assertThat(string.imbalanceCosts()).isEqualTo(new Interval(2, 3, 4));
  }

  private static List<Interval> exactly(double... ah) {
    return Arrays.stream(ah).mapToObj(Interval::exactly).toList();
  }
}
