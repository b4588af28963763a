package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.List;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

class ScenariosTest {

  private static final long HOUR_MS = 3_600_000;

  static List<String> shipped() {
    return Scenarios.shipped();
  }

  @Test
  void theFamiliesOfTheBenchmarkAreShipped() {
    List<String> families =
        Scenarios.shipped().stream().map(name -> Scenarios.open(name).family()).toList();

    assertThat(families)
        .contains(
            "first-night",
            "bouncing",
            "stalled",
            "healthy",
            "healthy-season",
            "leak",
            "short",
            "low-capacity",
            "loose-tap",
            "bad-strap",
            "cold-charge",
            "runaway",
            "over-discharge",
            "current-offset",
            "prints-zero",
            "odd-even",
            "float",
            "bank",
            "thermistor",
            "cable");
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void everyShippedScenarioRunsAnHour(String name) {
    Scenario scenario = Scenarios.open(name);
    SimulatedRig rig = scenario.rig();

    rig.stepTo(scenario.startMs() + HOUR_MS);

    for (int pack = 0; pack < rig.packs().size(); pack++) {
      Reading reading = rig.measured(pack);
      assertThat(reading.timeMs()).isEqualTo(scenario.startMs() + HOUR_MS);
      assertThat(reading.cells().count())
          .isGreaterThanOrEqualTo(scenario.plans().get(pack).series());
      assertThat(reading.packMv().orElse(0)).isPositive();
    }
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void everyShippedScenarioSaysThatItIsInvented(String name) {
    assertThat(Scenarios.text(name).orElse("")).startsWith("# An invented pack");
    assertThat(Scenarios.open(name).story()).isNotBlank();
    assertThat(Scenarios.open(name).family()).isNotBlank();
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void everyShippedScenarioAnswersByAShippedDescription(String name) {
    Scenario scenario = Scenarios.open(name);

    new SimulatedBoard(scenario, scenario.rig(), Specs::find, scenario::startMs);
  }

  @Test
  void wrongNameIsRefusedWithTheRightOnes() {
    assertThatThrownBy(() -> Scenarios.open("no-such-night"))
        .hasMessageContaining("no-such-night")
        .hasMessageContaining("first-night");
    assertThat(Scenarios.text("../pom")).isEmpty();
  }
}
