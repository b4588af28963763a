package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView.State;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What minutes at the top may be called, over nights drawn at random. */
class ProgressTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000);
  private static final long MINUTE_MS = 60_000;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void aSpreadThatGrowsIsNoVerdictWithoutTheLead(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    double mvPerHour = 1 + 20 * random.nextDouble();
    Progress progress = progress();

    for (int minute = 1; minute < 600; minute++) {
      double spreadMv = 30 + mvPerHour * minute / 60 + random.nextGaussian();
      progress.atTop(minute(minute, spreadMv, null));
      assertThat(progress.state()).as("minute %d", minute).isNotEqualTo(State.DIVERGING);
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void aShortTopThatEndsUnevenIsNoStall(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    int minutes = 5 + random.nextInt(100);
    double bleedA = 0.03 + 0.17 * random.nextDouble();
    Progress progress = progress();

    lead(progress, random, minutes, -bleedA);
    progress.away((minutes + 1) * MINUTE_MS, true);

    assertThat(progress.state()).isEqualTo(State.NOT_AT_TOP);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void aLeadThatStoodStillForHoursIsAStall(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Progress progress = progress();

    lead(progress, random, 240, 0);
    assertThat(progress.state()).isEqualTo(State.STALLED);
    progress.away(241 * MINUTE_MS, true);

    assertThat(progress.state()).isEqualTo(State.STALLED);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void aLeadThatGrowsForTwoHoursDiverges(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Progress progress = progress();

    lead(progress, random, 115, 0.1);
    assertThat(progress.state()).isNotEqualTo(State.DIVERGING);
    Progress longer = progress();
    lead(longer, random, 180, 0.1);

    assertThat(longer.state()).isEqualTo(State.DIVERGING);
  }

  /**
   * A lead that stands still while the pack moves along a curve that is another than it is taken
   * for: all its intervals hold the true one, and it seems to grow by up to their width.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5})
  void aLeadThatMayStandStillByItsBoundsDoesNotDriftApart(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Progress progress = progress();
    double ah = 0.5 + 3 * random.nextDouble();
    double share = 0.1 + 0.3 * random.nextDouble();
    int minutes = 150 + random.nextInt(300);

    for (int minute = 1; minute <= minutes; minute++) {
      double taken = ah * (1 - share + 2 * share * minute / minutes);
      double half = Math.abs(taken - ah) + 0.01 + 0.002 * random.nextDouble();
      progress.atTop(minute(minute, 30, new Estimate(taken, half)));
      assertThat(progress.state()).as("minute %d", minute).isNotEqualTo(State.DIVERGING);
    }
  }

  private static void lead(Progress progress, Random random, int minutes, double ahPerHour) {
    for (int minute = 1; minute <= minutes; minute++) {
      double leadAh = 0.8 + ahPerHour * minute / 60 + 0.001 * random.nextGaussian();
      progress.atTop(minute(minute, 60 + random.nextGaussian(), new Estimate(leadAh, 0.05)));
    }
  }

  private static Progress.Minute minute(int minute, double spreadMv, @Nullable Estimate lead) {
    return new Progress.Minute(
        minute * MINUTE_MS, spreadMv, 3450, lead, true, () -> false, true, true);
  }

  private static Progress progress() {
    return new Progress(PLAN, AnalysisSettings.of(PLAN));
  }
}
