package org.cellherd.page;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.PackSummary;
import org.junit.jupiter.api.Test;

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
}
