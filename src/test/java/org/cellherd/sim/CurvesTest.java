package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.util.List;
import org.cellherd.Tools;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.api.Test;

class CurvesTest {

  /** Safari and Delacourt 2011 with a public graphite curve, to the printed digits. */
  private static final double[][] LFP = {
    {0, 2.7826}, {5, 3.2067}, {10, 3.2361}, {20, 3.2800}, {30, 3.3110}, {40, 3.3116},
    {50, 3.3117}, {60, 3.3224}, {70, 3.3404}, {80, 3.3406}, {90, 3.3424}, {95, 3.3612},
    {98, 3.4362}, {99, 3.4992}, {100, 3.6000}
  };

  /** Chen et al. 2020, to the printed digits. */
  private static final double[][] NMC = {
    {0, 2.4987}, {5, 3.1092}, {10, 3.2957}, {20, 3.4852}, {30, 3.5814}, {40, 3.6670},
    {50, 3.7509}, {60, 3.8406}, {70, 3.9479}, {80, 4.0421}, {90, 4.0967}, {95, 4.1236},
    {98, 4.1646}, {99, 4.1818}, {100, 4.2001}
  };

  @Test
  void ironPhosphateGivesThePublishedVoltages() {
    assertTable(Curves.of(Chemistry.LFP), LFP);
  }

  @Test
  void nickelRichGivesThePublishedVoltages() {
    assertTable(Curves.of(Chemistry.NMC), NMC);
  }

  private static void assertTable(OpenCircuitCurve curve, double[][] table) {
    for (double[] row : table) {
      assertThat(curve.volts(row[0] / 100)).as("%s %%", row[0]).isCloseTo(row[1], within(5.1e-5));
    }
  }

  @Test
  void ironPhosphateIsInvertedAtItsUpperKnee() {
    OpenCircuitCurve curve = Curves.of(Chemistry.LFP);

    assertThat(curve.socAt(3.40)).isCloseTo(0.97072, within(1e-5));
    assertThat(curve.socAt(3.45)).isCloseTo(0.98265, within(1e-5));
    assertThat(curve.socAt(3.50)).isCloseTo(0.99010, within(1e-5));
    assertThat(curve.socAt(3.55)).isCloseTo(0.99559, within(1e-5));
  }

  @Test
  void everyPercentAgreesWithTheTableOfOpenCircuitVoltages() throws IOException {
    List<String> lines =
        Files.readAllLines(Tools.openData().resolve("methods").resolve("ocv_tables.csv"));

    for (String line : lines.subList(1, lines.size())) {
      String[] field = line.split(",");
      double soc = Double.parseDouble(field[0]) / 100;
      assertThat(Curves.of(Chemistry.LFP).volts(soc))
          .isCloseTo(Double.parseDouble(field[1]), within(5e-5));
      assertThat(Curves.of(Chemistry.NMC).volts(soc))
          .isCloseTo(Double.parseDouble(field[3]), within(5e-5));
    }
  }

  @Test
  void everyCurveRises() {
    for (Chemistry chemistry : Chemistry.values()) {
      OpenCircuitCurve curve = Curves.of(chemistry);
      double before = -1;
      for (int i = -300; i <= 1200; i++) {
        double volts = curve.volts(i / 1000.0);
        // The iron-phosphate fit falls by some microvolts around 40 %.
        assertThat(volts).as("%s at %s", chemistry, i / 1000.0).isGreaterThan(before - 2e-5);
        before = volts;
      }
    }
  }
}
