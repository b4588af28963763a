package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.pack.Spoken;
import org.cellherd.report.AlertSpan;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A pack's row counts the alerts that are active: "No active alerts" stands above no other. */
class ActiveAlertsTest {

  @Test
  void whatIsOverAndNotSeenYetIsNotCountedAsActive() {
    PlayedPack pack = new PlayedPack("runaway");
    boolean wasOver = false;
    for (int minute = 0; minute < 180; minute++) {
      pack.play(1, false);
      long active =
          pack.engine().standing().stream().filter(a -> a.state() != AlertState.RETURNED).count();
      PackSummary summary = pack.summary();

      assertThat(summary.openAlerts()).as("minute %d", minute).isEqualTo((int) active);
      assertThat(summary.worst().isPresent()).as("minute %d", minute).isEqualTo(active > 0);
      wasOver |= active < pack.engine().standing().size();
    }
    assertThat(wasOver).as("an alert was over and not seen yet").isTrue();
  }

  /** Minute by minute against the readings themselves: the worst so far is said, not the first. */
  @ParameterizedTest
  @CsvSource({"runaway, 4", "runaway, 11", "over-discharge, 5", "over-discharge, 8"})
  void aLookBackAtAnActiveAlertSaysTheWorstReadingSoFar(String scenario, long seed) {
    PlayedPack pack = new PlayedPack(Scenarios.open(scenario).withSeed(seed));
    int told = 0;
    while (pack.nowMs() < pack.scenario().endMs() && told < 60) {
      pack.play(1, false);
      for (AlertSpan span : AlertSpan.of(pack.events(), pack.engine().standing())) {
        boolean isHigh = span.alert().key().rule().equals(CellHigh.ID);
        if (span.toMs().isEmpty() && (isHigh || span.alert().key().rule().equals(CellLow.ID))) {
          double worstMv =
              pack.extremeMv(span.alert().key().cell(), span.alert().sinceMs(), isHigh);
          assertThat(span.text(ZoneOffset.UTC)).contains(Spoken.volts(worstMv));
          told++;
        }
      }
    }
    assertThat(told).isPositive();
  }
}
