package org.cellherd.analysis.charge;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.cellherd.analysis.Interval;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class OcvCurveTest {

  /** PyBaMM parameter set Prada2013 (curve of Afshar et al., arXiv 1709.03970), computed. */
  @ParameterizedTest
  @CsvSource({
    "0,2.0436", "5,2.7943", "10,2.9815", "20,3.1691", "30,3.2063", "40,3.2527", "50,3.2661",
    "60,3.2688", "70,3.2741", "80,3.3097", "90,3.3142", "95,3.3164", "98,3.3501", "99,3.4146",
    "100,3.5984"
  })
  void ironPhosphateFollowsThePublishedSet(double pct, double volts) {
    assertThat(OcvCurve.of(Chemistry.LFP).volts(pct / 100)).isCloseTo(volts, within(5e-5));
  }

  /** Chen et al. 2020, J. Electrochem. Soc. 167 080534; positive fit from memory. */
  @ParameterizedTest
  @CsvSource({
    "0,2.4987",
    "5,3.1092",
    "10,3.2957",
    "20,3.4852",
    "50,3.7509",
    "80,4.0421",
    "95,4.1236",
    "100,4.2001"
  })
  void nickelManganeseCobaltFollowsThePublishedFit(double pct, double volts) {
    assertThat(OcvCurve.of(Chemistry.NMC).volts(pct / 100)).isCloseTo(volts, within(5e-5));
  }

  /** Inverse of the same published set, computed with a root finder. */
  @ParameterizedTest
  @CsvSource({"3.40,98.848", "3.45,99.291", "3.50,99.592", "3.55,99.821"})
  void inverseFindsTheChargeOfAVoltage(double volts, double pct) {
    assertThat(OcvCurve.of(Chemistry.LFP).soc(volts) * 100).isCloseTo(pct, within(6e-4));
  }

  /**
   * Another published curve (Safari and Delacourt 2011) has 97.072 % at 3.40 V, 5 % at 3.2067 V.
   */
  @Test
  void boundsHoldWhatAnotherPublishedCurveSays() {
    OcvCurve curve = OcvCurve.of(Chemistry.LFP);

    Interval top = curve.pct(3.40, 0.012);
    Interval bottom = curve.pct(3.2067, 0.012);

    assertThat(top.holds(97.072)).isTrue();
    assertThat(bottom.holds(5)).isTrue();
  }
}
