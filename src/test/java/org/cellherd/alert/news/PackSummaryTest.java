package org.cellherd.alert.news;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.json.JsonText;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class PackSummaryTest {
  private static final PackPlan SHED =
      PackPlan.builder("shed", Chemistry.LFP, 4, 6, 27_000).name("Shed").build();

  private final PackAnalysis analysis =
      new PackAnalysis(SHED, AnalysisSettings.of(SHED).withDeadZoneMa(100));
  private long nowMs = 1_767_225_600_000L;

  private void feed(int seconds, int mv, int milliamps) {
    for (int i = 0; i < seconds; i++) {
      nowMs += 1_000;
      analysis.accept(
          Reading.at(nowMs).cells(CellVoltages.ofMv(mv, mv, mv, mv)).currentMa(milliamps).build());
    }
  }

  private Facts facts(Optional<Facts> bank) {
    return PackSummary.of(analysis, List.of(), "Resting.", bank).facts();
  }

  /** A cell that comes to the knee under a large current is no full pack. */
  @Test
  void lastFullIsTheLastTrueTop() {
    feed(600, 3_420, 20_000);
    feed(600, 3_350, -5_000);
    assertThat(facts(Optional.empty()).number("days_since_full")).isEmpty();

    feed(300, SHED.chargeMvPerCell(), 500);
    feed(8_640, 3_350, -100);
    assertThat(facts(Optional.empty()).number("days_since_full")).hasValue(0.1);
  }

  @Test
  void thePacksBankIsToldWhereItIsOne() {
    feed(10, 3_310, -5_000);
    Facts bank = Facts.of().put("bank", "bus").put("current_a", -38.0, 1).build();

    assertThat(JsonText.of(facts(Optional.of(bank))))
        .contains("\"bank\":{\"bank\":\"bus\",\"current_a\":-38}");
    assertThat(facts(Optional.empty()).get("bank")).isEmpty();
  }
}
