package org.cellherd.analysis.cell;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.util.List;
import java.util.Map;
import org.cellherd.Tools;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.OpenCsv;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class CellCurveTest {
  /** Each measurement begins and ends at a voltage of its own. */
  private static final double OWN_ZERO_PCT = 0.2;

  /** PyBaMM parameter set Prada2013 (curve of Afshar et al., arXiv 1709.03970), computed. */
  @ParameterizedTest
  @CsvSource({
    "0,2.0436", "5,2.7943", "10,2.9815", "20,3.1691", "30,3.2063", "40,3.2527", "50,3.2661",
    "60,3.2688", "70,3.2741", "80,3.3097", "90,3.3142", "95,3.3164", "98,3.3501", "99,3.4146",
    "100,3.5984"
  })
  void ironPhosphateFollowsThePublishedSet(double pct, double volts) {
    assertThat(CellCurve.of(Chemistry.LFP).volts(pct / 100)).isCloseTo(volts, within(5e-5));
  }

  /** Chen et al. 2020, J. Electrochem. Soc. 167 080534; positive fit from memory. */
  @ParameterizedTest
  @CsvSource({
    "0,2.4987",
    "5,3.1092",
    "10,3.2957",
    "20,3.4852",
    "30,3.5814",
    "40,3.6670",
    "50,3.7509",
    "60,3.8406",
    "70,3.9479",
    "80,4.0421",
    "90,4.0967",
    "95,4.1236",
    "98,4.1646",
    "99,4.1818",
    "100,4.2001"
  })
  void nickelManganeseCobaltFollowsThePublishedFit(double pct, double volts) {
    assertThat(CellCurve.of(Chemistry.NMC).volts(pct / 100)).isCloseTo(volts, within(5e-5));
  }

  @ParameterizedTest
  @EnumSource(Chemistry.class)
  void steepestIsTheGreatestSlopeOfAllStepsWithinTheHysteresis(Chemistry chemistry) {
    CellCurve curve = CellCurve.of(chemistry);
    double nearMv = 1000 * curve.hysteresisV();
    for (double mv = 1000; mv < 4500; mv += 3.7) {
      double most = 0;
      for (int i = 1; i <= 200; i++) {
        double from = 1000 * curve.volts((i - 1) * 0.5 / 100);
        double to = 1000 * curve.volts(i * 0.5 / 100);
        boolean isNear = to >= mv - nearMv && from <= mv + nearMv;
        most = isNear ? Math.max(most, (to - from) / 0.5) : most;
      }
      assertThat(curve.steepest(mv)).isEqualTo(most);
    }
  }

  /** Inverse of the same published set, computed with a root finder. */
  @ParameterizedTest
  @CsvSource({"3.40,98.848", "3.45,99.291", "3.50,99.592", "3.55,99.821"})
  void inverseFindsTheChargeOfAVoltage(double volts, double pct) {
    assertThat(CellCurve.of(Chemistry.LFP).soc(volts) * 100).isCloseTo(pct, within(6e-4));
  }

  /**
   * Another published curve (Safari and Delacourt 2011) has 97.072 % at 3.40 V, 5 % at 3.2067 V.
   */
  @Test
  void boundsHoldWhatAnotherPublishedCurveSays() {
    CellCurve curve = CellCurve.of(Chemistry.LFP);

    Interval top = curve.pct(3.40, 0.012);
    Interval bottom = curve.pct(3.2067, 0.012);

    assertThat(top.holds(97.072)).isTrue();
    assertThat(bottom.holds(5)).isTrue();
  }

  @Test
  void everyPercentAgreesWithTheTableOfOpenCircuitVoltages() throws IOException {
    List<String> lines =
        Files.readAllLines(Tools.openData().resolve("methods").resolve("ocv_tables.csv"));

    for (String line : lines.subList(1, lines.size())) {
      String[] field = line.split(",", -1);
      double soc = Double.parseDouble(field[0]) / 100;
      assertThat(CellCurve.of(Chemistry.LFP).volts(soc))
          .isCloseTo(Double.parseDouble(field[2]), within(5.1e-5));
      assertThat(CellCurve.of(Chemistry.NMC).volts(soc))
          .isCloseTo(Double.parseDouble(field[3]), within(5.1e-5));
    }
  }

  /**
   * Measured curves: LFP cells of open data (MIT; the table of simses, BSD-3) and nickel-rich ones.
   */
  @ParameterizedTest
  @CsvSource({"LFP,LFP", "NMC,NMC", "NMC/NCA,NCA"})
  void boundsHoldWhatWasMeasuredOnRealCells(String told, Chemistry chemistry) {
    CellCurve curve = CellCurve.of(chemistry);
    AnalysisSettings settings = AnalysisSettings.of(PackPlan.of("p", chemistry, 4, 1, 100_000));
    int judged = 0;
    for (Map<String, String> row : OpenCsv.rows("ocv_vs_soc_tables.csv")) {
      double volts = OpenCsv.number(row, "ocv_v");
      boolean isBlind =
          volts * 1000 >= settings.blindFromMv() && volts * 1000 <= settings.blindToMv();
      if (told.equals(row.get("chemistry")) && !isBlind) {
        judged++;
        Interval pct = curve.pct(volts, 0.002 + curve.hysteresisV() / 2);
        assertThat(OpenCsv.number(row, "soc_pct"))
            .as("%s at %s V", row.get("table"), volts)
            .isBetween(pct.low() - OWN_ZERO_PCT, pct.high() + OWN_ZERO_PCT);
      }
    }
    assertThat(judged).isGreaterThan(20);
  }
}
