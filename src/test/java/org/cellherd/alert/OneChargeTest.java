package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A charger that is set too high brings one cell over its limit several times a day, hours apart;
 * between two times the pack gives out a little or, as drawn, most of what it holds.
 */
class OneChargeTest {
  private static final long STEP_MS = 10_000;
  private static final double HOLDS_AH = 100;

  private final PackPlan plan = PackPlan.of("crate", Chemistry.LFP, 4, 1, 100_000);
  private final PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
  private final AlertEngine engine = new AlertEngine(plan, Rules.defaults(plan));
  private final List<AlertEvent> told = new ArrayList<>();
  private long nowMs = 1_767_225_600_000L;

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void oneChargeIsOneOccurrenceAndEachTimeIsTold(long seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    accept(new SessionStart(nowMs, 1, true, true));
    top();
    for (int time = 2; time < 12; time++) {
      boolean isDeep = random.nextBoolean();
      told.clear();
      int hours = 3 + random.nextInt(4);
      double givenAh = HOLDS_AH * (isDeep ? 0.3 + 0.4 * random.nextDouble() : 0.1);
      current(-givenAh / hours, hours, 3_290);
      current(givenAh / 2, 2, 3_340);
      top();
      String as = "seed " + seed + ", time " + time + (isDeep ? ", deep" : ", shallow");
      assertThat(told.stream().map(AlertEvent::change))
          .as(as)
          .containsOnlyOnce(isDeep ? AlertEvent.Change.RAISED : AlertEvent.Change.REPEATED)
          .doesNotContain(isDeep ? AlertEvent.Change.REPEATED : AlertEvent.Change.RAISED);
    }
  }

  /** The cell is over its limit for two minutes and comes back. */
  private void top() {
    for (int i = 0; i < 12; i++) {
      reading(3_700, 2_000);
    }
    for (int i = 0; i < 60; i++) {
      reading(3_420, 0);
    }
  }

  private void current(double amperes, int hours, int mv) {
    for (long ms = 0; ms < hours * 3_600_000L; ms += STEP_MS) {
      reading(mv, (int) Math.round(amperes * 1000));
    }
  }

  private void reading(int firstMv, int milliamps) {
    nowMs += STEP_MS;
    int others = Math.min(3_350, firstMv);
    accept(
        Reading.at(nowMs)
            .cells(CellVoltages.ofMv(firstMv, others, others, others))
            .currentMa(milliamps)
            .build());
  }

  private void accept(LogEntry entry) {
    analysis.accept(entry);
    engine.onEntry(entry, analysis).stream()
        .filter(e -> e.alert().key().rule().equals(CellHigh.ID))
        .filter(e -> e.alert().priority() == Priority.CRITICAL)
        .filter(e -> e.change() != AlertEvent.Change.RETURNED)
        .forEach(told::add);
    engine.standing().stream()
        .filter(a -> a.key().rule().equals(CellHigh.ID) && a.state() == AlertState.ACTIVE)
        .forEach(a -> engine.acknowledge(a.id(), "owner", nowMs));
  }
}
