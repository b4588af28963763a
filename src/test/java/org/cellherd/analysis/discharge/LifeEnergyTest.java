package org.cellherd.analysis.discharge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;
import org.junit.jupiter.api.Test;

/** Energy left in a pack's life, against the sum over its days as it fades. */
class LifeEnergyTest {

  private static final double RATED_AH = 100;

  private static Finding ageing(double cycles, Interval years, int toPct) {
    Facts row =
        Facts.of()
            .put("to_pct", toPct)
            .put("low_years", years.low(), 9)
            .put("mid_years", years.mid(), 9)
            .put("high_years", years.high(), 9)
            .build();
    Facts facts = Facts.of().put("cycles_per_year", cycles, 9).put("life", List.of(row)).build();
    return ResultForm.finding(FindingName.AGEING, 0, 1, facts, "");
  }

  private static TestedDischarge test(double ah) {
    DischargeCurve empty =
        new DischargeCurve(List.of(new DischargeCurve.Point(ah, 12.8 * ah, 10, 2.5, 20)), 4, 1);
    double wh = 12.8 * ah;
    Interval bounds = new Interval(0.98 * ah, ah, 1.02 * ah);
    return new TestedDischarge("crate", 0, empty, bounds, wh, 20, 25, RATED_AH);
  }

  @RepeatedTest(50)
  void theMiddleIsTheSumOfTheDaysAndTheBoundsHoldIt(RepetitionInfo run) {
    SplittableRandom random = new SplittableRandom(run.getCurrentRepetition() * 7_919L);
    double ah = random.nextDouble(82, 100);
    double cycles = random.nextDouble(5, 300);
    double mid = random.nextDouble(1, 12);
    Interval years = new Interval(mid * random.nextDouble(0.5, 1), mid, mid * 1.5);

    LifeEnergy life = LifeEnergy.of(ageing(cycles, years, 80), test(ah)).orElseThrow();

    double kwh = 0;
    int steps = 20_000;
    for (int i = 0; i < steps; i++) {
      double share = (i + 0.5) / steps;
      double holds = ah + (80 - ah) * share;
      kwh += cycles * RATED_AH * 12.8 / 1000 * (holds / ah) * mid / steps;
    }
    assertThat(life.kwh().mid()).isCloseTo(kwh, within(0.001 * kwh));
    assertThat(life.kwh().low()).isLessThan(kwh);
    assertThat(life.kwh().high()).isGreaterThan(kwh);
  }

  @Test
  void aPackBelowItsEndHasNone() {
    Interval years = new Interval(1, 2, 3);

    assertThat(LifeEnergy.of(ageing(100, years, 80), test(79))).isEqualTo(Optional.empty());
    assertThat(LifeEnergy.of(ageing(0, years, 80), test(95))).isEqualTo(Optional.empty());
  }
}
