package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Gap.Cause;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.api.Test;

class PresenceTest {
  private static final long HOUR_MS = 3_600_000;
  private static final PackPlan PLAN = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);

  private final PackAnalysis analysis = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));
  private final AlertEngine alerts = new AlertEngine(PLAN, Rules.defaults(PLAN));
  private final Presence presence = new Presence(0);
  private long nowMs;

  PresenceTest() {
    take(new SessionStart(0, 1, true, true));
  }

  private void take(LogEntry entry) {
    analysis.accept(entry);
    alerts.onEntry(entry, analysis);
    presence.accept(entry, alerts.hasRested());
  }

  private void feed(double hours, int currentMa) {
    long end = nowMs + Math.round(hours * HOUR_MS);
    for (; nowMs < end; nowMs += 10_000) {
      CellVoltages cells = CellVoltages.ofMv(3310, 3311, 3310, 3309);
      take(Reading.at(nowMs).cells(cells).currentMa(currentMa).build());
    }
  }

  private void silence(Cause cause) {
    take(new Gap(nowMs - 10_000, nowMs + 60_000, cause));
  }

  @Test
  void aBoardThatGoesQuietAfterHoursOfRestSleepsAndIsAccountedFor() {
    feed(3, 0);

    silence(Cause.NO_BYTES);

    assertThat(presence.state().word()).isEqualTo(PackState.Word.ASLEEP);
    assertThat(presence.isAccountedFor()).isTrue();
  }

  @Test
  void aMissingPortIsNoSleepHoweverLongThePackHadRested() {
    feed(3, 0);

    silence(Cause.PORT_MISSING);

    assertThat(presence.state().word()).isEqualTo(PackState.Word.SILENT);
    assertThat(presence.isAccountedFor()).isFalse();
  }

  @Test
  void aBoardThatGoesQuietInUseOrAfterAShortRestIsMissed() {
    feed(3, -5000);
    feed(0.5, 0);

    silence(Cause.NO_BYTES);

    assertThat(presence.state().word()).isEqualTo(PackState.Word.SILENT);
    assertThat(presence.isAccountedFor()).isFalse();
  }

  @Test
  void aTimeInWhichThisProgramDidNotRunTellsNothingOfTheBoard() {
    feed(1, -5000);

    silence(Cause.NOT_RUNNING);

    assertThat(presence.state().word()).isEqualTo(PackState.Word.LIVE);
  }
}
