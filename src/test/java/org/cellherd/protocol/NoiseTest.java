package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;

class NoiseTest {

  /** A check of n bits lets one candidate in 2^n pass; four deviations of chance are allowed. */
  @Test
  void noiseGivesNoReadingBeyondWhatTheCheckAllows() {
    List<NoiseRun.Result> results = NoiseRun.run(1 << 18, 7);

    for (NoiseRun.Result result : results) {
      double allowed = 1 + result.expected() + 4 * Math.sqrt(result.expected());
      assertThat((double) result.taken()).as(result.toString()).isLessThanOrEqualTo(allowed);
    }
  }
}
