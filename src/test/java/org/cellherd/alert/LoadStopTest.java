package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.HashSet;
import java.util.Random;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.LimitAhead;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A pack is drawn into its lower knee day after day, at a pace drawn from 1 to 25 s, until the load
 * disconnects at a voltage of its own; on the last day it does not.
 */
class LoadStopTest {
  private final PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);
  private final PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
  private final AlertEngine engine = new AlertEngine(plan, Rules.defaults(plan));
  private long nowMs = 1_767_225_600_000L;
  private static final Pattern VOLTS = Pattern.compile("[Cc]ell \\d+ at (\\d\\.\\d{3}) V");

  private final Set<Integer> sent = new HashSet<>();
  private int told;
  private int read;
  private int wrong;
  private int wrongOneIn;
  private int sinceWrong;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void limitIsForetoldUntilTheLoadIsKnownToStopBeforeItAndAgainWhenItDoesNot(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    long stepMs = Math.round(1000 * Math.pow(25, random.nextDouble()));
    double stopMv = 2_620 + 40 * random.nextDouble();
    String as = "seed " + seed + " each " + stepMs + " ms, stops at " + Math.round(stopMv);
    analysis.accept(new SessionStart(nowMs, 1, true, true));
    engine.onEntry(new SessionStart(nowMs, 1, true, true), analysis);

    discharge(random, stepMs, stopMv);
    assertThat(told).as(as + ", the first time").isEqualTo(1);
    discharge(random, stepMs, stopMv);
    told = 0;
    for (int day = 3; day < 20; day++) {
      discharge(random, stepMs, stopMv);
    }
    // Two stops lie up to a reading apart: where both were late ones, an early one is not known.
    assertThat(told).as(as + ", 17 times").isLessThanOrEqualTo(1);
    told = 0;
    discharge(random, stepMs, 2_520);
    assertThat(told).as(as + ", and does not stop").isEqualTo(1);
  }

  /**
   * The sun or a person ends most discharges before the load does, and some loads are so heavy that
   * they fall through the voltage at which they stop in one step.
   */
  @ParameterizedTest
  @ValueSource(longs = {51, 52, 53, 54, 55, 56, 57, 58, 59, 60, 61, 62})
  void whereALoadStopsIsKnownThroughStopsThatAreNotItsOwn(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    long stepMs = Math.round(15_000 * Math.pow(4, random.nextDouble()));
    double stopMv = 2_620 + 40 * random.nextDouble();
    String as = "seed " + seed + " each " + stepMs + " ms, stops at " + Math.round(stopMv);
    analysis.accept(new SessionStart(nowMs, 1, true, true));
    engine.onEntry(new SessionStart(nowMs, 1, true, true), analysis);

    discharge(random, stepMs, stopMv);
    discharge(random, stepMs, stopMv);
    told = 0;
    for (int day = 3; day < 40; day++) {
      switch (random.nextInt(4)) {
        case 0 -> discharge(random, stepMs, stopMv + 20 + 200 * random.nextDouble());
        case 1 -> heavyLoad(random, stepMs, stopMv);
        default -> discharge(random, stepMs, stopMv);
      }
    }
    assertThat(told).as(as + ", 37 times").isLessThanOrEqualTo(1);
    told = 0;
    discharge(random, stepMs, 2_520);
    assertThat(told).as(as + ", and does not stop").isEqualTo(1);
  }

  /** From rest above the stop to below it within one step. */
  private void heavyLoad(Random random, long stepMs, double stopMv) {
    for (int i = 0; i < 10; i++) {
      reading(random, stopMv + 15, 0);
      nowMs += stepMs;
    }
    reading(random, stopMv - 60 * random.nextDouble(), -40_000);
    nowMs += stepMs;
    for (int i = 0; i < 10; i++) {
      reading(random, stopMv + 10, 0);
      nowMs += stepMs;
    }
    nowMs += 80_000_000;
  }

  /** A forecast rests on what a second reading confirmed, and so do the numbers in its words. */
  @ParameterizedTest
  @ValueSource(longs = {31, 32, 33, 34, 35, 36, 37, 38, 39, 40, 41, 42})
  void noForecastTellsOfAVoltageThatWasNeverThere(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    long stepMs = Math.round(1000 * Math.pow(25, random.nextDouble()));
    wrongOneIn = 16;
    discharge(random, stepMs, 2_520);
    assertThat(wrong).as("wrong values").isPositive();
    assertThat(read).as("texts read").isPositive();
  }

  /** Falls faster and faster from 2.9 V, then relaxes for a quarter of an hour and rests a day. */
  private void discharge(Random random, long stepMs, double stopMv) {
    double mv = 2_900;
    while (mv > stopMv) {
      reading(random, mv, -10_000);
      mv -= (9 + (2_900 - mv) / 14) * stepMs / 60_000;
      nowMs += stepMs;
    }
    for (long rest = 0; rest < 900_000; rest += stepMs) {
      reading(random, mv + 30, 0);
      nowMs += stepMs;
    }
    nowMs += 80_000_000;
  }

  private void reading(Random random, double mv, int milliamps) {
    int noisy = (int) Math.round(mv + random.nextGaussian() * 0.7);
    boolean isWrong = ++sinceWrong > 4 && wrongOneIn > 0 && random.nextInt(wrongOneIn) == 0;
    sinceWrong = isWrong ? 0 : sinceWrong;
    wrong += isWrong ? 1 : 0;
    sent.add(noisy);
    int printed =
        isWrong ? noisy + (random.nextBoolean() ? 1 : -1) * (150 + random.nextInt(400)) : noisy;
    Reading reading =
        Reading.at(nowMs)
            .cells(CellVoltages.ofMv(3_010, 3_020, printed, 3_015))
            .currentMa(milliamps)
            .build();
    analysis.accept(reading);
    told +=
        (int)
            engine.onEntry(reading, analysis).stream()
                .filter(e -> e.alert().key().rule().equals(LimitAhead.ID))
                .filter(e -> e.change() == AlertEvent.Change.RAISED)
                .count();
    engine.standing().stream()
        .filter(a -> a.key().rule().equals(LimitAhead.ID))
        .forEach(this::readVolts);
  }

  private void readVolts(Alert alert) {
    Matcher volts = VOLTS.matcher(alert.text());
    while (volts.find()) {
      read++;
      assertThat(sent)
          .as(alert.text())
          .contains((int) Math.round(1000 * Double.parseDouble(volts.group(1))));
    }
  }
}
