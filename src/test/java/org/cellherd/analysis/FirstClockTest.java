package org.cellherd.analysis;

import static org.assertj.core.api.Assertions.assertThat;

import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.api.Test;

class FirstClockTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 1, 1, 100_000);

  @Test
  void settingTheClockOfTheVeryFirstRunMovesNoTime() {
    LogFeed feed = new LogFeed(PLAN);
    feed.take(new SessionStart(0, 1, false, true));
    feed.take(reading(10_000));
    feed.take(new ClockStep(10_500, 1_800_000_000_000L));
    feed.take(reading(1_800_000_000_500L));

    assertThat(feed.moment().upMs()).isEqualTo(11_000);
    assertThat(feed.moment().stepMs()).isEqualTo(1_000);
  }

  @Test
  void theTimeBetweenTwoRunsIsLearnedWhenTheClockIsSet() {
    LogFeed feed = new LogFeed(PLAN);
    feed.take(new SessionStart(1_800_000_000_000L, 1, true, true));
    feed.take(reading(1_800_000_010_000L));
    feed.take(new SessionStart(1_800_000_010_000L, 2, false, false));
    feed.take(new ClockStep(1_800_000_011_000L, 1_800_003_611_000L));

    assertThat(feed.moment().upMs()).isEqualTo(3_611_000);
  }

  private static Reading reading(long ms) {
    return Reading.at(ms).currentMa(0).cells(CellVoltages.ofMv(3_300)).build();
  }
}
