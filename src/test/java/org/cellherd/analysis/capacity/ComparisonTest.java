package org.cellherd.analysis.capacity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.analysis.ChargeTermination;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.cell.AtRoomTemperature;
import org.cellherd.analysis.result.CapacityResult.Limit;
import org.junit.jupiter.api.Test;

class ComparisonTest {

  /**
   * Peukert's law as Omar et al., "Peukert Revisited", Energies 2013, 6, 5625 give it, t = H (C /
   * (I H))^k, on an own example: 100 Ah at 0.2C and 96 Ah at 1C.
   */
  @Test
  void exponentOfAnOwnExample() {
    assertThat(Comparison.peukert(100 / 96.0, 20, 100)).isCloseTo(1.025364, within(5e-7));
  }

  /** An own example: 88.0 Ah at 10 degC. */
  @Test
  void temperatureCorrectionOfAnOwnExample() {
    assertThat(AtRoomTemperature.ah(88, 10).orElse(0)).isCloseTo(96.703, within(5e-4));
    assertThat(AtRoomTemperature.ah(88, 30).orElse(0)).isEqualTo(88);
    assertThat(AtRoomTemperature.ah(88, -1)).isEmpty();
  }

  @Test
  void equalConditionsAreComparable() {
    Comparison c = new Comparison(test(100, 20, 25, 2500), test(95, 30, 22, 2520));

    assertThat(c.isComparable()).isTrue();
    assertThat(c.ratio().orElse(0)).isCloseTo(0.95, within(1e-12));
  }

  @Test
  void aColdTestIsCorrectedAndMarked() {
    Comparison c = new Comparison(test(100, 20, 25, 2500), test(88, 20, 10, 2500));

    assertThat(c.ratio().orElse(0)).isCloseTo(0.967, within(1e-3));
    assertThat(c.compared(0, 100).temperatureCorrected()).isTrue();
  }

  @Test
  void differencesThatForbidAComparisonAreNamed() {
    CapacityTest base = test(100, 20, 25, 2500);

    assertThat(new Comparison(base, test(90, 20, 25, 2800)).obstacle()).contains("cell voltages");
    assertThat(new Comparison(base, test(90, 50, 25, 2500)).obstacle()).contains("2 to 1");
    assertThat(new Comparison(base, test(90, 20, -5, 2500)).obstacle()).contains("temperature");
    assertThat(new Comparison(base, test(90, 50, 25, 2500)).ratio()).isEmpty();
  }

  /** Trade facts, common practice: 22.5 and 22.0 of 27 Ah are 83 and 81 to 82 %. */
  @Test
  void twoRatesOfATradeExample() {
    assertThat(Math.round(100 * 22.5 / 27)).isEqualTo(83);
    assertThat(100 * 22.0 / 27).isBetween(81.0, 82.0);
    Comparison c = new Comparison(test(22.5, 5.4, 25, 2500), test(22.0, 13.5, 25, 2500));

    assertThat(c.isComparable()).isFalse();
    assertThat(c.exponent().orElseThrow().mid()).isBetween(1.0, 1.05);
  }

  private static CapacityTest test(double ah, double amps, double tempC, double endMv) {
    return new CapacityTest(
        0,
        Interval.exactly(ah),
        0,
        amps,
        tempC,
        endMv,
        ChargeTermination.TAIL,
        1,
        2,
        Limit.CAPACITY);
  }
}
