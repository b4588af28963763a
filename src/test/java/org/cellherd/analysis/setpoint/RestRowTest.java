package org.cellherd.analysis.setpoint;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Map;
import org.cellherd.analysis.OpenCsv;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.sim.Curves;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.EnumSource;

class RestRowTest {

  private static List<SetPoints.RestRow> rows(Chemistry chemistry) {
    return SetPoints.RestRow.of(PackPlan.of("p", chemistry, 4, 1, 100_000));
  }

  private static void holds(SetPoints.RestRow row, double pct, String whose) {
    assertThat(pct)
        .as("%s: %s by %s", row.volts(), row.charge(), whose)
        .isBetween(Math.floor(row.pct().low()), Math.ceil(row.pct().high()));
  }

  @ParameterizedTest
  @EnumSource(Chemistry.class)
  void higherVoltageNeverMeansLessCharge(Chemistry chemistry) {
    List<SetPoints.RestRow> rows = rows(chemistry);

    assertThat(rows).hasSizeBetween(5, 12);
    for (int i = 1; i < rows.size(); i++) {
      assertThat(rows.get(i).fromMv()).isGreaterThan(rows.get(i - 1).toMv());
      assertThat(rows.get(i).pct().low()).isGreaterThanOrEqualTo(rows.get(i - 1).pct().low());
      assertThat(rows.get(i).pct().high()).isGreaterThanOrEqualTo(rows.get(i - 1).pct().high());
    }
  }

  /**
   * The curve of Safari and Delacourt, J. Electrochem. Soc. 158 (2011) A562, is another LFP cell's
   * than that of the table; the simulator draws its cells from it.
   */
  @Test
  void theWidthHoldsAnotherPublishedCurve() {
    for (SetPoints.RestRow row : rows(Chemistry.LFP)) {
      for (int mv = row.fromMv(); mv <= row.toMv(); mv += 10) {
        double pct = 100 * Curves.of(Chemistry.LFP).socAt(mv / 1000.0);
        holds(row, Math.max(0, Math.min(100, pct)), "Safari and Delacourt");
      }
    }
  }

  /** Measured curves of real cells: the open tables of simses (BSD-3) and others. */
  @ParameterizedTest
  @CsvSource({"LFP,LFP", "NMC,NMC", "NMC/NCA,NCA"})
  void theWidthHoldsWhatWasMeasuredOnRealCells(String told, Chemistry chemistry) {
    int judged = 0;
    for (Map<String, String> line : OpenCsv.rows("ocv_vs_soc_tables.csv")) {
      double mv = OpenCsv.number(line, "ocv_v") * 1000;
      for (SetPoints.RestRow row : rows(chemistry)) {
        boolean isMeant = mv >= row.fromMv() - 3 && mv <= row.toMv() + 3;
        if (told.equals(line.get("chemistry")) && isMeant) {
          judged++;
          holds(row, OpenCsv.number(line, "soc_pct"), String.valueOf(line.get("table")));
        }
      }
    }
    assertThat(judged).isGreaterThan(5);
  }
}
