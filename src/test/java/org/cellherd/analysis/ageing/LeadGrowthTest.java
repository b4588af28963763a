package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
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
import org.cellherd.analysis.result.FullChargeResult.CellLead;
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

  /** What every lead leaves open of a cell and of the median stays open of their difference. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void theAhThatALeakingCellIsBehindHoldTheTruth(long seed) {
    Random random = new Random(seed * 7919);
    for (int i = 0; i < 200; i++) {
      double[] ah = random.doubles(5, 5, 6).toArray();
      ah[1] = random.nextDouble() * 4;
      List<CellLead> leads = new ArrayList<>();
      for (int cell = 0; cell < ah.length; cell++) {
        double half = random.nextDouble() * 0.3;
        double mid = ah[cell] + (2 * random.nextDouble() - 1) * half;
        leads.add(new CellLead(cell + 1, new Interval(mid - half, mid, mid + half)));
      }
      double behind = Arrays.stream(ah).sorted().toArray()[2] - ah[1];

      Interval told = leaking(100, 0.1, leads).get(0).behindAh().orElseThrow();

      assertThat(told.holds(behind)).as("seed %d, %d: %s of %s", seed, i, told, behind).isTrue();
    }
  }

  private static List<Leaking> leaking(double ratedAh, double sharePerMonth) {
    return leaking(ratedAh, sharePerMonth, List.of());
  }

  private static List<Leaking> leaking(double ratedAh, double sharePerMonth, List<CellLead> leads) {
    double ahPerDay = ratedAh * sharePerMonth / 30.4375;
    LeadGrowth growth = new LeadGrowth(ratedAh, 5);
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
            leads,
            List.of(cell),
            Optional.empty(),
            OptionalLong.empty()));
    return growth.leaking();
  }
}
