package org.cellherd.pile;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Optional;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.result.ResultForm;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;

class RigResultsTest {

  private final PackPlan rig =
      PackPlan.builder("rig", Chemistry.LFP, 2, 1, 10_000)
          .cells(List.of(List.of("a1"), List.of("a2")))
          .history(
              List.of(
                  new PackPlan.Change(
                      1000, "next one", Optional.of(new PackPlan.Swap("a2", "a3")))))
          .build();

  private static Finding resistance(long fromMs) {
    Facts first = Facts.of().put("cell", 1).put("mohm", 2.5, 2).put("pulse_s", 5.0, 1).build();
    Facts second =
        Facts.of()
            .put("cell", 2)
            .put("mohm", 3.5, 2)
            .put("pulse_s", 5.0, 1)
            .put("temp_c", 21.0, 1)
            .build();
    Facts facts = Facts.of().put("cells", List.of(first, second)).build();
    return ResultForm.finding(FindingName.RESISTANCE, fromMs, fromMs + 10, facts, "");
  }

  private static RigResults.Measured unit(RigResults results, String id) {
    return Optional.ofNullable(results.units().get(id)).orElseThrow();
  }

  @Test
  void aMeasurementGoesToTheUnitThatWasThere() {
    RigResults results = RigResults.of(rig, List.of(resistance(0), resistance(2000)));

    assertThat(unit(results, "a1").resistances()).hasSize(2);
    assertThat(unit(results, "a2").resistances()).hasSize(1);
    assertThat(unit(results, "a3").resistances())
        .singleElement()
        .satisfies(
            r -> {
              assertThat(r.mohm()).isEqualTo(3.5);
              assertThat(r.how()).isEqualTo("DC at 5 s");
              assertThat(r.celsius()).hasValue(21);
            });
  }

  @Test
  void whatIsAddedToAFileIsReadFromIt() {
    RigResults results = RigResults.of(rig, List.of(resistance(2000)));

    List<String> lines = CellsText.with(rig, results.units(), List.of("donor,id", "red"));

    assertThat(lines.get(0)).isEqualTo("donor,id,res_1_mohm,res_1_by,res_1_s,res_1_c");
    assertThat(lines).contains(",a3,3.5,dc,5,21");
  }
}
