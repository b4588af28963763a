package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class ScenarioTest {

  private static List<Reading> record(Scenario scenario, int minutes) {
    SimulatedRig rig = scenario.rig();
    List<Reading> readings = new ArrayList<>();
    for (int i = 0; i < minutes * 60; i++) {
      rig.stepTo(scenario.startMs() + i * 1000L);
      readings.add(rig.measured());
    }
    return readings;
  }

  @Test
  void sameSeedGivesTheSameReadings() {
    Scenario scenario = Scenarios.open("loose-tap").withSeed(5);

    assertThat(record(scenario, 30)).isEqualTo(record(scenario, 30));
  }

  @Test
  void anotherSeedGivesOtherReadings() {
    Scenario scenario = Scenarios.open("first-night");

    assertThat(record(scenario, 2)).isNotEqualTo(record(scenario.withSeed(8), 2));
  }

  @Test
  void readingsDoNotDependOnHowOftenOneAsks() {
    Scenario scenario = Scenarios.open("first-night");
    SimulatedRig often = scenario.rig();
    SimulatedRig once = scenario.rig();
    long at = scenario.startMs() + 600_000;

    for (long t = scenario.startMs(); t <= at; t += 1000) {
      often.stepTo(t);
      often.measured();
      often.measured();
    }
    once.stepTo(at);

    assertThat(once.measured()).isEqualTo(often.measured());
  }

  @Test
  void leadIsWhatTheFileSays() {
    Scenario scenario =
        TestScenarios.perfect(80, "[[pack.cell]]\nnumber = 3\nahead_ah = 0.7\ncapacity_pct = 95\n");

    Truth truth = Truth.of(scenario.rig());

    assertThat(truth.leadAh(3)).isCloseTo(0.7, within(1e-9));
    assertThat(truth.leadAh(1)).isCloseTo(0, within(1e-9));
    assertThat(truth.capacityAh(3)).isCloseTo(95, within(1e-9));
    assertThat(truth.greatestLeadAh()).isCloseTo(0.7, within(1e-9));
  }

  @Test
  void faultsAreDrawnFromTheirRanges() {
    Scenario scenario = Scenarios.open("leaking-cell");

    List<Fault> faults = new ArrayList<>();
    for (long seed = 1; seed <= 200; seed++) {
      faults.addAll(scenario.withSeed(seed).faults());
    }

    assertThat(faults).allSatisfy(f -> assertThat(f.amount()).isBetween(0.05, 0.5));
    assertThat(faults.stream().map(Fault::number).distinct().count()).isEqualTo(16);
    long small = faults.stream().filter(f -> f.amount() < Math.sqrt(0.05 * 0.5)).count();
    assertThat(small).as("drawn on a logarithmic scale").isBetween(70L, 130L);
  }

  @Test
  void planIsWhatTheBuilderWouldWriteDown() {
    PackPlan plan = Scenarios.open("first-night").plans().get(0);

    assertThat(plan.id()).isEqualTo("crate");
    assertThat(plan.chemistry()).isEqualTo(Chemistry.LFP);
    assertThat(plan.series()).isEqualTo(4);
    assertThat(plan.ratedMah()).isEqualTo(27_000);
    assertThat(plan.chargeMv()).isEqualTo(13_900);
    assertThat(plan.board().orElseThrow().tripHighMv()).hasValue(3700);
    assertThat(plan.board().orElseThrow().bleedMa()).hasValue(130);
    assertThat(plan.role(3)).isEqualTo(PackPlan.SensorRole.SWITCH);
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          colour = 3                          | unknown key
          [charger]\\namperes = 2              | charger.hold_mv: is missing
          [sun]\\npeak_w = 10                  | the sun needs a [charger]
          [[fault]]\\nkind = "leek"            | did you mean leak
          [[fault]]\\nkind = "leak"\\ncell = 9 | is 9, allowed: 1 to 4
          [[fault]]\\nkind = "leak"\\ncell = 1\\nma_per_ah = [3, 1] | [lower, upper]
          [[fault]]\\nkind = "frozen"\\npack = "other" | allowed: pack
          [[pack.cell]]\\nnumber = 5           | is 5, allowed: 1 to 4
          [pack.board.bleed]\\nwhen = "often"  | allowed: never, charging, always
          """)
  void mistakeIsToldWithItsLine(String more, String message) {
    String text = TestScenarios.PACK.formatted(50);
    boolean isTop = !more.startsWith("[");
    String line = more.replace("\\n", "\n") + "\n";
    Problems problems = new Problems();

    assertThat(Scenario.read("x.toml", isTop ? line + text : text + line, problems)).isEmpty();

    assertThat(problems.sorted())
        .extracting(Problems.Problem::toString)
        .anyMatch(t -> t.contains(message));
    assertThat(problems.sorted()).allMatch(p -> p.line() > 0);
  }

  @Test
  void scenarioWithoutAPackIsRefused() {
    Problems problems = new Problems();

    assertThat(
            Scenario.read(
                "x.toml", "title = \"x\"\nstart = 2026-01-01T00:00:00Z\nhours = 1\n", problems))
        .isEmpty();
    assertThat(problems.toString()).contains("[[pack]]");
  }

  @Test
  void exampleOfTheDescriptionRuns() throws IOException {
    Scenario scenario = TestScenarios.read(example());
    SimulatedRig rig = scenario.rig();

    rig.stepTo(scenario.startMs() + 3 * 3_600_000);

    assertThat(scenario.family()).isEqualTo("example");
    assertThat(Truth.of(rig).leadAh(2)).isBetween(0.2, 0.6);
    assertThat(scenario.faults()).extracting(Fault::kind).containsExactly(Fault.Kind.LEAK);
    double leak = scenario.faults().get(0).amount();
    assertThat(Truth.of(rig).leakMa(4)).isCloseTo((leak + 0.005) * 27 * 0.84, within(1e-6));
    assertThat(rig.measured().temperatures().count()).isEqualTo(1);
  }

  @Test
  void descriptionNamesEveryFault() throws IOException {
    for (Fault.Kind kind : Fault.Kind.values()) {
      assertThat(readme()).contains("`" + kind.word() + "`");
      kind.amounts().forEach(amount -> assertThat(readmeQuietly()).contains(amount.key()));
    }
  }

  private static String example() throws IOException {
    String text = readme();
    int from = text.indexOf("```toml\n") + 8;
    return text.substring(from, text.indexOf("```", from));
  }

  private static String readme() throws IOException {
    try (InputStream in =
        Objects.requireNonNull(Scenario.class.getResourceAsStream("/simulators/README.md"))) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  private static String readmeQuietly() {
    try {
      return readme();
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }
}
