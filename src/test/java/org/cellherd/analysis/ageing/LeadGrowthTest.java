package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult.Leaking;
import org.cellherd.analysis.result.CellGrowth;
import org.cellherd.analysis.result.FullChargeResult;
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

  private static List<Leaking> leaking(double ratedAh, double sharePerMonth) {
    double ahPerDay = ratedAh * sharePerMonth / 30.4375;
    LeadGrowth growth = new LeadGrowth(ratedAh);
    CellGrowth cell =
        new CellGrowth(2, new Interval(-1.2 * ahPerDay - 0.001, -ahPerDay, -ahPerDay));
    growth.take(
        new FullChargeResult(
            0,
            ChargeTermination.TAIL,
            BalanceView.State.UNKNOWN,
            ratedAh,
            5,
            40,
            1,
            3600,
            0,
            List.of(),
            List.of(cell),
            Optional.empty(),
            OptionalLong.empty()));
    return growth.leaking();
  }
}
