package org.cellherd.analysis;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class IntervalTest {
  @ParameterizedTest
  @CsvSource({
    "2.99, 3.08, 3.2, 3.08",
    "0.004, 0.09, 0.216, 0.00 to 0.22",
    "1, 3, 5, 1.00 to 5.00",
    "0, 0, 0.035, 0.00",
    "0, 0.004, 0.03, 0.00"
  })
  void isOneNumberWhereTheTruthIsNear(double low, double mid, double high, String words) {
    assertThat(new Interval(low, mid, high).words(2)).isEqualTo(words);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void isNeverOneNumberWhereTheTruthMayBeFourTimesAsMuch(long seed) {
    Random random = new Random(seed);
    double low = Math.exp(random.nextDouble(-2, 6));
    Interval wide = new Interval(low, low * random.nextDouble(1, 4), 4.01 * low);

    assertThat(wide.words(1)).contains(" to ");
  }
}
