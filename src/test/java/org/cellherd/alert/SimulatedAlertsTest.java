package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.concurrent.atomic.AtomicLong;
import org.cellherd.SimulatedRun;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.rule.Bouncing;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.ColdCharge;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.Runner;
import org.cellherd.pack.CellVoltages;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What invented packs make the rules say: nothing on a healthy night, the right thing else. */
class SimulatedAlertsTest {

  /** The first hours of a shipped scenario. */
  private static SimulatedRun run(String name, int hours, long seed) {
    String text =
        Scenarios.text(name).orElseThrow().replaceAll("(?m)^hours = .*", "hours = " + hours);
    Problems problems = new Problems();
    org.cellherd.sim.Scenario scenario =
        org.cellherd.sim.Scenario.read(name, text, problems).orElseThrow();
    return new SimulatedRun(scenario.withSeed(seed), true);
  }

  private static List<AlertEvent> of(SimulatedRun run, RuleId rule, Change change) {
    return run.events().stream()
        .filter(e -> e.alert().key().rule().equals(rule) && e.change() == change)
        .toList();
  }

  @ParameterizedTest
  @CsvSource({"healthy-night, 1", "night-alone, 2"})
  void aHealthyNightSaysNothing(String scenario, long seed) {
    assertThat(run(scenario, 8, seed).run().events()).isEmpty();
  }

  @Test
  void aRunnerIsToldBeforeItsCellIsAtTheLimit() {
    SimulatedRun run = run("runaway", 2, 5);
    int limitTenthMv = run.plan().limits().cutOffHighMv() * 10;
    AtomicLong overMs = new AtomicLong(Long.MAX_VALUE);

    run.run(
        10_000,
        r -> {
          CellVoltages cells = r.analysis().reading().map(x -> x.cells()).orElse(CellVoltages.NONE);
          int highest = cells.highestCell();
          if (highest != 0 && cells.tenthMv(highest) > limitTenthMv) {
            overMs.accumulateAndGet(r.analysis().timeMs(), Math::min);
          }
        });

    Alert first = of(run, Runner.ID, Change.RAISED).get(0).alert();
    assertThat(overMs.get()).isLessThan(Long.MAX_VALUE);
    assertThat(first.timeMs()).isLessThan(overMs.get() - 60_000);
    assertThat(first.text()).contains("If nothing changes it is at 3.6");
  }

  @Test
  void aBouncingNightIsOneWarning() {
    SimulatedRun run = run("bouncing-night", 3, 6).run();

    assertThat(of(run, Bouncing.ID, Change.RAISED)).hasSize(1);
    assertThat(of(run, Runner.ID, Change.RAISED)).hasSizeLessThanOrEqualTo(1);
    assertThat(of(run, CellHigh.ID, Change.RAISED)).hasSizeLessThanOrEqualTo(1);
  }

  @Test
  void aBoardThatFallsAsleepIsOnlyANote() {
    SimulatedRun run = run("sleeping-board", 12, 7).run();

    assertThat(of(run, Rules.id("silent"), Change.RAISED))
        .isNotEmpty()
        .allMatch(e -> e.alert().priority() == Priority.NOTE);
  }

  @Test
  void aBrokenSensorWireSilencesNothing() {
    SimulatedRun run = run("open-thermistor", 4, 8).run();

    assertThat(of(run, ColdCharge.ID, Change.RAISED))
        .isNotEmpty()
        .allMatch(e -> e.alert().text().contains("May be wiring"));
  }

  @Test
  void aChangedCellCountIsTold() {
    SimulatedRun run = run("wrong-count", 4, 9).run();

    assertThat(of(run, Rules.id("cell-count"), Change.RAISED)).hasSize(1);
  }
}
