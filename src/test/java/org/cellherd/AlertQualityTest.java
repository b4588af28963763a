package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A small part of {@link AlertQualityBenchmark}, for every build. */
class AlertQualityTest {

  @ParameterizedTest
  @ValueSource(strings = {"runaway", "swapped-taps", "wrong-count", "cold-charge"})
  void faultsAreFound(String name) {
    assertThat(row(name, 1).foundShare()).isEqualTo(1);
  }

  @Test
  void limitsAreNeverPassedInSilence() {
    assertThat(row("runaway", 1).warnedShare()).isEqualTo(1);
    assertThat(row("over-discharge", 1).warnedShare()).isEqualTo(1);
  }

  @Test
  void aHealthyNightIsQuiet() {
    assertThat(row("healthy-night", 1).falsePerDay()).isZero();
  }

  private static QualityRow row(String name, int seeds) {
    Scenario scenario = Scenarios.open(name);
    QualityRow row = new QualityRow(scenario.family());
    for (int i = 0; i < seeds; i++) {
      row.add(new SimulatedRun(scenario.withSeed(scenario.seed() + i), true).run());
    }
    return row;
  }
}
