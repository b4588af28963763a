package org.cellherd.analysis.capacity;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.OpenCsv;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** Measured cells: About:Energy's open data of a 2 Ah LFP cell, CC BY-SA 4.0. */
class MeasuredCellsTest {
  private static final PackPlan PLAN =
      PackPlan.builder("cell", Chemistry.LFP, 1, 1, 2_000)
          .limits(new CellLimits(3650, 3600, 3450, 3400, 3200, 2800, 2000))
          .build();

  @Test
  void capacityOfACellAtTheTwentyHourRate() {
    Facts test = discharge("C/20");

    assertThat(number(test, "ah")).isCloseTo(2.0745, within(0.005 * 2.0745));
    assertThat(number(test, "wh")).isCloseTo(6.750, within(0.005 * 6.750));
    assertThat(number(test, "c_rate")).isCloseTo(0.05, within(0.001));
    assertThat(test.text("end_reason")).contains("cut_off");
    assertThat(test.text("start_kind")).contains("unknown");
  }

  @Test
  void capacityOfACellAtTheOneHourRate() {
    Facts test = discharge("1C");

    assertThat(number(test, "ah")).isCloseTo(1.9434, within(0.005 * 1.9434));
    assertThat(number(test, "wh")).isCloseTo(6.024, within(0.005 * 6.024));
    assertThat(number(test, "rated_pct")).isCloseTo(97.2, within(0.1));
  }

  private static Facts discharge(String test) {
    AnalysisSettings settings = AnalysisSettings.of(PLAN);
    FoldBench bench = new FoldBench(PLAN, settings, FindingName.CAPACITY, CapacityFold::new);
    for (Map<String, String> row : OpenCsv.rows("lfp_2ah_cc_discharge.csv")) {
      if (test.equals(row.get("test"))) {
        bench.feed(
            Reading.at(Math.round(OpenCsv.number(row, "t_s") * 1000))
                .cells(
                    CellVoltages.ofTenthMv((int) Math.round(OpenCsv.number(row, "u_v") * 10_000)))
                .currentMa((int) Math.round(OpenCsv.number(row, "i_a") * 1000))
                .build());
      }
    }
    return bench.standing().facts();
  }

  private static double number(Facts facts, String name) {
    return facts.number(name).orElse(Double.NaN);
  }
}
