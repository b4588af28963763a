package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;

class NoiseTest {

  /**
   * With a check of 8 bits one plausible header in 256 passes; start, address, code and length must
   * fit before, so that half a megabyte of noise holds next to none.
   */
  @Test
  void noiseGivesNoReadingBeyondWhatTheCheckAllows() {
    List<NoiseRun.Result> results = NoiseRun.run(1 << 19, 7);

    for (NoiseRun.Result result : results) {
      long allowed = result.checkBits() == 16 ? 0 : 2;
      assertThat(result.taken()).as(result.toString()).isLessThanOrEqualTo(allowed);
    }
  }
}
