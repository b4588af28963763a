package org.cellherd.analysis.cell;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.Optional;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.OpenCsv;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Bounds of the curve against cells that others measured (open data). */
class CurveBoundsTest {

  /** Each measurement begins at an empty of its own. */
  private static final double OWN_ZERO_PCT = 0.2;

  @ParameterizedTest
  @CsvSource({"LFP,LFP", "NMC,NMC", "NMC/NCA,NCA"})
  void whatIsLeftNearEmptyHoldsWhatWasMeasured(String told, Chemistry chemistry) {
    int judged = 0;
    for (Map<String, String> row : OpenCsv.rows("ocv_vs_soc_tables.csv")) {
      double mv = OpenCsv.number(row, "ocv_v") * 1000;
      Optional<Interval> left = CellCurve.of(chemistry).leftPct(mv);
      boolean isMeasured = String.valueOf(row.get("kind")).startsWith("measured");
      if (told.equals(row.get("chemistry")) && isMeasured && left.isPresent() && mv >= 2500) {
        judged++;
        assertThat(OpenCsv.number(row, "soc_pct"))
            .as("%s at %s mV", row.get("table"), mv)
            .isBetween(left.get().low() - OWN_ZERO_PCT, left.get().high() + OWN_ZERO_PCT);
      }
    }
    assertThat(judged).isGreaterThan(3);
  }

  @ParameterizedTest
  @CsvSource({"LFP,2500,3200", "NMC,2500,3400", "NCA,2500,3400"})
  void moreVoltageNeverMeansLessLeft(Chemistry chemistry, int from, int to) {
    CellCurve curve = CellCurve.of(chemistry);
    Interval before = curve.leftPct(from).orElseThrow();
    for (int mv = from + 1; mv <= to; mv++) {
      Interval now = curve.leftPct(mv).orElseThrow();
      assertThat(now.low()).as("%s mV", mv).isBetween(before.low(), now.mid());
      assertThat(now.high()).as("%s mV", mv).isBetween(Math.max(before.high(), now.mid()), 30.0);
      assertThat(now.high() - before.high()).as("a step at %s mV", mv).isLessThan(0.5);
      before = now;
    }
    assertThat(curve.leftPct(to + 1)).isEmpty();
    assertThat(curve.leftPct(from - 500)).isEqualTo(curve.leftPct(from - 600));
  }

  /** Bounds of the model's own slope: they were drawn around it and others. */
  @ParameterizedTest
  @CsvSource({"LFP", "NMC", "LTO", "SODIUM_ION"})
  void theBoundsOfTheSlopeHoldTheCurveItself(Chemistry chemistry) {
    CellCurve curve = CellCurve.of(chemistry);
    int judged = 0;
    for (int pct = 3; pct <= 99; pct++) {
      double mv = 1000 * curve.volts(pct / 100.0);
      double slope = 500 * (curve.volts((pct + 1) / 100.0) - curve.volts((pct - 1) / 100.0));
      Optional<Interval> bounds = curve.slope(mv);
      if (bounds.isPresent()) {
        judged++;
        assertThat(slope)
            .as("%s %% at %s mV", pct, mv)
            .isBetween(bounds.get().low(), bounds.get().high());
      }
    }
    assertThat(judged).isGreaterThan(10);
  }

  /** At 52.9 kJ/mol ten kelvins halve: a rule of thumb of every textbook of kinetics. */
  @Test
  void tenKelvinsHalveTheResistanceAtTheActivationThatIsKnownForIt() {
    assertThat(Arrhenius.factor(25, Arrhenius.MOST)).isCloseTo(1, within(1e-12));
    assertThat(Arrhenius.factor(35, 52_900)).isCloseTo(0.5, within(0.001));
    assertThat(Arrhenius.factor(0, Arrhenius.LEAST)).isBetween(1.7, 1.8);
  }
}
