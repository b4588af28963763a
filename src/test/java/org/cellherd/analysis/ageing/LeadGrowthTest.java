package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Random;
import org.cellherd.pack.Facts;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class LeadGrowthTest {

  /** What sheets allow a month (from memory): the cells of one pack differ by up to 3 %. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void soundCellsDoNotLeakWhateverTheirSize(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    for (int i = 0; i < 200; i++) {
      double ratedAh = 10 + 300 * random.nextDouble();
      double sharePerMonth = 0.03 * random.nextDouble();
      assertThat(leaking(ratedAh, sharePerMonth)).as("seed %d, %d", seed, i).isEmpty();
      assertThat(leaking(ratedAh, 0.032 + sharePerMonth)).as("seed %d, %d", seed, i).hasSize(1);
    }
  }

  private static List<Facts> leaking(double ratedAh, double sharePerMonth) {
    double ahPerDay = ratedAh * sharePerMonth / 30.4375;
    LeadGrowth growth = new LeadGrowth(ratedAh);
    growth.take(
        Facts.of()
            .put(
                "lead_growth",
                List.of(
                    Facts.of()
                        .put("cell", 2)
                        .put("ah_per_day_low", -1.2 * ahPerDay - 0.001, 6)
                        .put("ah_per_day_high", -ahPerDay, 6)
                        .build()))
            .build());
    return growth.leaking();
  }
}
