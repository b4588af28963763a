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

  /** Neighbours of unlike resistance part oppositely under a load that presses them off a knee. */
  @Test
  void unlikeCellsUnderALoadAreNoLooseTap() {
    assertThat(seed("healthy-nmc", 60).falseAlerts()).isEmpty();
  }

  /** Noise lets a swapped cell of 6.6 V rise for a while. */
  @Test
  void aCellThatNoneCanBeDoesNotRunAhead() {
    assertThat(seed("swapped-taps", 50).falseAlerts()).isEmpty();
  }

  private static QualityRow row(String name, int seeds) {
    return row(name, Scenarios.open(name).seed(), seeds);
  }

  private static QualityRow seed(String name, long seed) {
    return row(name, seed, 1);
  }

  private static QualityRow row(String name, long first, int seeds) {
    Scenario scenario = Scenarios.open(name);
    QualityRow row = new QualityRow(scenario.family());
    for (int i = 0; i < seeds; i++) {
      row.add(new SimulatedRun(scenario.withSeed(first + i), true).run());
    }
    return row;
  }
}
