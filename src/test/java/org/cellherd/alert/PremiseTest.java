package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import java.util.regex.Pattern;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A cell runs ahead until the board trips, the charge ends, the load draws or the line falls
 * silent, at any sampling and again and again. What stands must not tell of a rise that is over:
 * judged by what the made cell really does, not by any rate.
 */
class PremiseTest {
  private static final Pattern RISE =
      Pattern.compile("rising|runs ahead|If nothing changes|If this load|falling");
  private static final Pattern PAST = Pattern.compile("It began|Before that|At its worst");

  /** A rate is the median over ten readings or half a minute: half of that must be past. */
  private static final int SEEN_AFTER = 8;

  private static final long SEEN_AFTER_MS = 30_000;

  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_200).build();
  private final PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
  private final AlertEngine engine = new AlertEngine(plan, Rules.defaults(plan));
  private long nowMs = 1_767_225_600_000L;
  private boolean wasRaised;

  private enum End {
    TRIP,
    CHARGER_OFF,
    LOAD,
    CHARGE_GOES_ON_LOWER
  }

  private void accept(LogEntry entry) {
    analysis.accept(entry);
    engine.onEntry(entry, analysis).stream()
        .filter(e -> e.change() == AlertEvent.Change.RAISED)
        .forEach(e -> wasRaised |= RISE.matcher(e.alert().text()).find());
  }

  private void reading(Random random, double leadMv, double otherMv, int milliamps) {
    accept(
        Reading.at(nowMs)
            .cells(
                CellVoltages.ofMv(
                    noisy(random, otherMv),
                    noisy(random, leadMv),
                    noisy(random, otherMv),
                    noisy(random, otherMv)))
            .currentMa(milliamps)
            .build());
  }

  private static int noisy(Random random, double mv) {
    return (int) Math.round(mv + random.nextGaussian() * 0.7);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
  void noAlertTellsOfARiseThatIsOver(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    long stepMs = Math.round(500 * Math.pow(120, random.nextDouble()));
    accept(new SessionStart(nowMs, 1, true, true));
    int episodes = 1 + random.nextInt(5);
    for (int i = 0; i < episodes; i++) {
      String as = "seed " + seed + " each " + stepMs + " ms, episode " + i;
      double topMv = rise(random, stepMs);
      End end = End.values()[random.nextInt(End.values().length)];
      fall(random, stepMs, topMv, end, as + " " + end);
      if (random.nextInt(3) == 0) {
        silence(as);
      }
    }
    assertThat(wasRaised).as("seed %d each %d ms: nothing to withdraw", seed, stepMs).isTrue();
  }

  /** A tenth of the capacity an hour; slower where the board is read seldom. Returns the top. */
  private double rise(Random random, long stepMs) {
    double topMv = 3560 + random.nextInt(120);
    double perMin = Math.min(12, 5.6 + 900_000.0 / stepMs / 10);
    for (double mv = 3400; mv < topMv; mv += perMin * stepMs / 60_000) {
      reading(random, mv, 3352, 10_000);
      nowMs += stepMs;
    }
    return topMv;
  }

  private void fall(Random random, long stepMs, double topMv, End end, String as) {
    int milliamps = end == End.LOAD ? -8_000 : end == End.CHARGE_GOES_ON_LOWER ? 2_000 : 0;
    long fromMs = nowMs;
    double floorMv = 3390 + random.nextInt(60);
    long lengthMs = Math.max(40 * stepMs, random.nextInt(3_600_000));
    for (int i = 1; nowMs - fromMs < lengthMs; i++) {
      nowMs += stepMs;
      double minutes = (nowMs - fromMs) / 60_000.0;
      double mv = floorMv + (topMv - 40 - floorMv) * Math.exp(-minutes / 6);
      reading(random, mv, 3345, milliamps);
      if (i > SEEN_AFTER && nowMs - fromMs > SEEN_AFTER_MS) {
        assertNoRise(as + ", " + Math.round(minutes) + " min after it");
      }
    }
  }

  private void silence(String as) {
    long fromMs = nowMs;
    for (int i = 0; i < 30; i++) {
      nowMs += 10_000;
      accept(new Gap(fromMs, nowMs, Gap.Cause.NO_BYTES));
      for (Alert alert : engine.standing()) {
        assertThat(alert.text()).as(as).doesNotContain("If nothing changes", "If this load");
      }
    }
  }

  private void assertNoRise(String as) {
    for (Alert alert : engine.standing()) {
      String present = PAST.split(alert.text())[0];
      boolean isDated = alert.text().contains("Not confirmed since");
      assertThat(!isDated && RISE.matcher(present).find()).as("%s: %s", as, alert.text()).isFalse();
    }
  }
}
