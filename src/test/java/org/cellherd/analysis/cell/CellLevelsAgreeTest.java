package org.cellherd.analysis.cell;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.CellSheet;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

/** What one chemistry is said to be in one place fits what it is said to be in another. */
class CellLevelsAgreeTest {

  @ParameterizedTest
  @EnumSource
  void levelsLieInTheOrderInWhichACellPassesThem(Chemistry chemistry) {
    CellLimits limits = chemistry.limits();
    CellSheet.Plateau plateau = chemistry.plateau();
    List<Integer> rising = new ArrayList<>();
    rising.add(limits.cutOffLowMv());
    rising.add(limits.warnLowMv());
    rising.add(plateau.lowKneeMv());
    rising.add(plateau.blindFromMv());
    rising.add(plateau.blindToMv());
    rising.add(limits.kneeMv());
    rising.add(limits.fullMv());
    rising.add(limits.cutOffHighMv());
    assertThat(rising).isSorted();

    assertThat(chemistry.storedMv()).isSorted().allMatch(mv -> mv < limits.kneeMv());
    assertThat(chemistry.storedMv()).allMatch(mv -> mv > limits.warnLowMv());
  }

  @ParameterizedTest
  @EnumSource
  void theCurveIsBetweenTheLimitsAndRises(Chemistry chemistry) {
    CellCurve curve = CellCurve.of(chemistry);
    double before = 0;
    for (int pct = 0; pct <= 100; pct++) {
      double mv = curve.volts(pct / 100.0) * 1000;
      assertThat(mv).as("%s %%", pct).isGreaterThan(before);
      before = mv;
      boolean isBlind = chemistry.plateau().isBlind(mv);
      assertThat(curve.slope(mv).isEmpty()).as("%s mV", mv).isEqualTo(isBlind);
    }
    double full = chemistry.limits().fullMv() / 1000.0;
    double low = chemistry.limits().warnLowMv() / 1000.0;
    assertThat(curve.pct(full, 0.01).high()).isGreaterThan(95);
    assertThat(curve.pct(low, 0.01).low()).isLessThan(10);
    int least = chemistry.storedMv().get(0);
    int most = chemistry.storedMv().get(1);
    if (chemistry.plateau().isFlat()) {
      assertThat(chemistry.plateau().isBlind(least) && chemistry.plateau().isBlind(most)).isTrue();
    } else {
      assertThat(curve.pct(least / 1000.0, 0.01).low()).isLessThan(50);
      assertThat(curve.pct(most / 1000.0, 0.01).high()).isGreaterThan(50);
    }
  }
}
