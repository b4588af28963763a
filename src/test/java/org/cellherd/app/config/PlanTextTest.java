package org.cellherd.app.config;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.LongStream;
import org.cellherd.analysis.setpoint.DrawnPlan;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.MethodSource;

/** What is written as a plan is read as the same plan: nothing that a plan holds is left out. */
class PlanTextTest {

  @TempDir private Path folder;

  static List<Long> seeds() {
    return LongStream.range(0, 60).boxed().toList();
  }

  private PackPlan read(String text) throws IOException {
    return ConfigFiles.loadPlans(Files.writeString(folder.resolve("p.toml"), text))
        .packs()
        .get(0)
        .plan();
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aPlanIsReadAsItWasWritten(long seed) throws IOException {
    PackPlan drawn = DrawnPlan.of(seed);
    int most = drawn.series() * (drawn.limits().cutOffHighMv() + 90);
    List<List<String>> units = new ArrayList<>();
    for (int cell = 1; cell <= drawn.series(); cell++) {
      units.add(List.of("u" + cell, "v" + cell));
    }
    PackPlan plan =
        drawn.toBuilder()
            .chargeMv(Math.min(most, drawn.chargeMv()))
            .cells(units)
            .history(
                List.of(
                    new PackPlan.Change(0, "moved"),
                    new PackPlan.Change(
                        1000, "\"old\" one out", Optional.of(new PackPlan.Swap("u1", "w 1")))))
            .build();

    assertThat(read(PlanText.of(plan))).isEqualTo(plan);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      value = {
        "out = 'x1'; in = 'z' | \"x1\" is not in the pack then, did you mean a1?",
        "out = 'a1'; in = 'b1' | \"b1\" is in the pack already",
        "out = 'a1' | in: is missing",
        "in = 'a1' | out: is missing",
        "in = 'z' | what: is missing",
      })
  void aReplacementThatCannotBeIsRefused(String keys, String problem) {
    PackPlan plan =
        PackPlan.builder("p", Chemistry.LFP, 2, 1, 1000)
            .cells(List.of(List.of("a1"), List.of("b1")))
            .build();
    String text =
        PlanText.of(plan)
            + "[[pack.history]]\nat = 2026-01-01T00:00:00Z\n"
            + keys.replace(';', '\n');

    assertThatThrownBy(() -> read(text)).hasMessageContaining(problem);
  }
}
