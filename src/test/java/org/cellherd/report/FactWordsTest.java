package org.cellherd.report;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.Finding;
import org.cellherd.pack.Fact;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;

/** Names and values of real findings as a report shows them. */
class FactWordsTest {

  /** Abbreviations of programs: nobody says them aloud. */
  private static final String INTERNAL = "(?s).*(\\b(soc|mad|sd|src|eta)\\b|_).*";

  @Test
  void noFieldNameOfAFindingReachesPeople() {
    FactWords words = new FactWords(new Made(ZoneOffset.UTC, 0, "cellherd"));
    SimulatedRun night = new SimulatedRun(Scenarios.open("first-night"), false).run();

    assertThat(night.analysis().standing()).isNotEmpty();
    for (Finding finding : night.analysis().standing()) {
      for (Fact fact : finding.facts().list()) {
        assertThat(FactWords.name(fact.name())).as(fact.name()).doesNotMatch(INTERNAL);
        assertThat(words.value(fact.value())).as(fact.name()).doesNotMatch(INTERNAL);
      }
    }
    assertThat(words.value("tail")).isEqualTo("the current had faded to its tail");
  }
}
