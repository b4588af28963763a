package org.cellherd.analysis.trend;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.apache.commons.math3.stat.descriptive.SummaryStatistics;
import org.cellherd.analysis.state.SavedState;
import org.junit.jupiter.api.Test;

class MomentsTest {

  /** NIST StRD univariate NumAcc1, certified values from memory. */
  @Test
  void givesTheCertifiedValuesOfNumAcc1() {
    Moments m = of(10000001, 10000003, 10000002);

    assertThat(m.mean()).isEqualTo(10000002);
    assertThat(m.deviation()).isEqualTo(1);
  }

  /** NIST StRD univariate NumAcc3, certified values from memory. */
  @Test
  void keepsTheDigitsOfNumAcc3() {
    Moments m = numAcc(1000000);

    assertThat(m.mean()).isCloseTo(1000000.2, within(1e-8));
    assertThat(m.deviation()).isCloseTo(0.1, within(1e-8));
  }

  /** NIST StRD univariate NumAcc4, certified values from memory. */
  @Test
  void keepsTheDigitsOfNumAcc4() {
    Moments m = numAcc(10000000);

    assertThat(m.mean()).isCloseTo(10000000.2, within(1e-8));
    assertThat(m.deviation()).isCloseTo(0.1, within(1e-8));
  }

  @Test
  void agreesWithTheReferenceLibrary() {
    Random random = new Random(7);
    Moments m = new Moments();
    SummaryStatistics reference = new SummaryStatistics();
    for (int i = 0; i < 1000; i++) {
      double v = 3.3 + random.nextGaussian();
      m.add(v);
      reference.addValue(v);
    }

    assertThat(m.mean()).isCloseTo(reference.getMean(), within(1e-12));
    assertThat(m.variance()).isCloseTo(reference.getVariance(), within(1e-12));
  }

  @Test
  void knowsNothingOfNoValues() {
    Moments m = new Moments();

    assertThat(m.mean()).isNaN();
    assertThat(of(1).variance()).isNaN();
  }

  @Test
  void goesOnExactlyFromASavedState() {
    Moments whole = of(0.1, 0.7, 0.3);
    Moments restored = new Moments();
    SavedState.of(of(0.1, 0.7)::state).into(restored::state);
    restored.add(0.3);

    assertThat(restored.variance()).isEqualTo(whole.variance());
  }

  private static Moments numAcc(double base) {
    Moments m = of(base + 0.2);
    for (int i = 0; i < 500; i++) {
      m.add(base + 0.1);
      m.add(base + 0.3);
    }
    return m;
  }

  private static Moments of(double... values) {
    Moments m = new Moments();
    for (double v : values) {
      m.add(v);
    }
    return m;
  }
}
