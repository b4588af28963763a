package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.input.RuleInput;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedRig;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * One wrong value of one channel at a time, of any kind and size, over healthy packs at any
 * sampling: no critical alert, and rates stay where they are without it. Judged by a twin that
 * never saw the wrong values.
 */
class OneSampleTest {
  private static final List<String> HEALTHY =
      List.of("healthy-night", "night-alone", "healthy-nmc", "healthy-week");
  private static final int READINGS = 900;

  /** A twin whose rates differ by less says the same, mV and degC a minute. */
  private static final double SAME_MV = 0.5;

  private static final double SAME_C = 0.3;

  /** Analysis, input and rules of one pack. */
  private static final class Watch {
    final PackAnalysis analysis;
    final RuleInput input;
    final AlertEngine engine;
    final List<AlertEvent> critical = new ArrayList<>();
    private final long startMs;

    Watch(PackPlan plan, AlertSettings settings, long startMs) {
      analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
      input = new RuleInput(plan, settings);
      engine = new AlertEngine(plan, settings);
      this.startMs = startMs;
    }

    void accept(LogEntry entry) {
      analysis.accept(entry);
      input.take(entry, analysis, entry.timeMs() - startMs);
      engine.onEntry(entry, analysis).stream()
          .filter(e -> e.alert().priority() == Priority.CRITICAL)
          .forEach(critical::add);
    }
  }

  /** What one seed draws: pack, sampling, and from where in its night. */
  private static final class Draw {
    final Random random;
    final PackPlan plan;
    final long stepMs;
    final SimulatedRig rig;
    long nowMs;

    Draw(long seed) {
      random = new Random(seed * 0x9E3779B97F4A7C15L);
      String name = HEALTHY.get(random.nextInt(HEALTHY.size()));
      var scenario =
          org.cellherd.sim.Scenario.read(name, Scenarios.text(name).orElseThrow(), new Problems())
              .orElseThrow()
              .withSeed(seed);
      plan = scenario.plans().get(0);
      rig = scenario.rig();
      stepMs = Math.round(500 * Math.pow(120, random.nextDouble()));
      nowMs = scenario.startMs() + random.nextInt(7 * 3_600_000);
      System.out.println("seed " + seed + ": " + name + " each " + stepMs + " ms");
    }

    Reading next() {
      return next(stepMs);
    }

    Reading next(long afterMs) {
      nowMs += afterMs;
      rig.stepTo(nowMs);
      return rig.measured(0).atTime(nowMs);
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void aSingleWrongValueRaisesNothingCriticalAndMovesNoRate(long seed) {
    Draw draw = new Draw(seed);
    AlertSettings settings = Rules.defaults(draw.plan).withPollMs(draw.stepMs);
    Watch clean = new Watch(draw.plan, settings, draw.nowMs);
    Watch spiked = new Watch(draw.plan, settings, draw.nowMs);
    SessionStart start = new SessionStart(draw.nowMs, 1, true, true);
    clean.accept(start);
    spiked.accept(start);
    Window window = new Window();
    int until = 20 + draw.random.nextInt(30);
    String last = "";
    for (int i = 0; i < READINGS; i++) {
      Reading reading = draw.next();
      Reading wrong = reading;
      if (i == until) {
        wrong = WrongValue.of(draw.random, draw.plan, reading);
        last = "reading " + i + ": " + WrongValue.difference(reading, wrong);
        until = i + 15 + draw.random.nextInt(40);
      }
      clean.accept(reading);
      spiked.accept(wrong);
      window.add(reading);
      assertSameRates(clean, spiked, window, "seed " + seed + " at " + i + " after " + last);
    }
    assertThat(clean.critical).as("the healthy twin").isEmpty();
    assertThat(spiked.critical).as("seed " + seed).isEmpty();
    assertThat(spiked.analysis.deadZoneMa()).isEqualTo(clean.analysis.deadZoneMa());
    assertThat(mid(spiked)).isCloseTo(mid(clean), org.assertj.core.data.Offset.offset(2.0));
  }

  /** What is really so stays, and a board that is asked again at once says so in time. */
  @ParameterizedTest
  @ValueSource(longs = {21, 22, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32, 33, 34, 35, 36})
  void aFaultThatStaysIsToldWithinItsDelay(long seed) {
    Draw draw = new Draw(seed);
    AlertSettings settings = Rules.defaults(draw.plan).withPollMs(draw.stepMs);
    Watch watch = new Watch(draw.plan, settings, draw.nowMs);
    watch.accept(new SessionStart(draw.nowMs, 1, true, true));
    for (int i = 0; i < 100; i++) {
      watch.accept(draw.next());
    }
    LastingFault fault = LastingFault.of(seed);
    long fromMs = draw.nowMs;
    long toldMs = fromMs + draw.stepMs + fault.delayMs(settings) + 3 * 1000;
    while (draw.nowMs < toldMs) {
      Reading healthy =
          draw.next(watch.engine.asksAgain() ? Math.min(1000, draw.stepMs) : draw.stepMs);
      watch.accept(fault.on(healthy, draw.plan, healthy.timeMs() - fromMs));
    }
    assertThat(watch.critical)
        .as("seed %d, %s each %d ms", seed, fault, draw.stepMs)
        .anyMatch(e -> e.alert().key().rule().equals(fault.rule()));
  }

  private static double mid(Watch watch) {
    return watch.analysis.socPct().map(Interval::mid).orElse(-1.0);
  }

  private static void assertSameRates(Watch clean, Watch spiked, Window window, String when) {
    for (int cell = 1; cell <= clean.input.plan().series(); cell++) {
      var as = clean.input.cellRate(cell);
      var is = spiked.input.cellRate(cell);
      assertThat(is.isPresent())
          .as("rate of cell %d known, %s", cell, when)
          .isEqualTo(as.isPresent());
      if (as.isPresent()) {
        assertThat(Math.abs(is.orElseThrow() - as.orElseThrow()))
            .as("rate of cell %d, %s vs %s, %s", cell, is, as, when)
            .isLessThanOrEqualTo(SAME_MV + window.unsure(Kind.CELL, cell));
      }
    }
    for (int sensor = 1; sensor <= window.sensors(); sensor++) {
      double fast =
          spiked.input.heatRate(sensor).orElse(0) - clean.input.heatRate(sensor).orElse(0);
      double slow =
          spiked.input.slowHeatRate(sensor).orElse(0) - clean.input.slowHeatRate(sensor).orElse(0);
      assertThat(Math.max(Math.abs(fast), Math.abs(slow)))
          .as("heat of sensor %d, %s", sensor, when)
          .isLessThanOrEqualTo(SAME_C + window.unsure(Kind.TEMPERATURE, sensor));
    }
  }
}
