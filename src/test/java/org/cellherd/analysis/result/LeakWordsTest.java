package org.cellherd.analysis.result;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult.Leaking;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What is said of a leak: no number that says nothing. */
class LeakWordsTest {

  @ParameterizedTest
  @CsvSource({"0.95, 12, at most 12 days", "0.2, 0.9, at most 1 day", "1.2, 12.3, 1 to 13 days"})
  void daysBeginWithOneOrAreAtMost(double low, double high, String said) {
    Interval ma = new Interval(18.6, 126.7, 234.8);
    Leaking leak = new Leaking(1, ma, new Interval(low, (low + high) / 2, high), Optional.empty());

    assertThat(LeakWords.of(leak)).contains("of the rating in " + said + ".");
  }
}
