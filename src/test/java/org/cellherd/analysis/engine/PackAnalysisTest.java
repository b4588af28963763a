package org.cellherd.analysis.engine;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.MadeLog;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedRig;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PackAnalysisTest {
  private static final int CELLS = 5;
  private static final PackPlan PLAN = MadeLog.plan(CELLS);

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3})
  void snapshotAndTailEqualTheWholeFold(long seed) {
    List<LogEntry> log = MadeLog.entries(seed, CELLS, 12_000);
    PackAnalysis whole = fresh();
    log.forEach(whole::accept);

    for (int cut : new int[] {1, 77, 2_500, 6_001, 9_999, 11_999}) {
      PackAnalysis first = fresh();
      log.subList(0, cut).forEach(first::accept);
      PackAnalysis second = fresh();
      state(first).into(second::state);
      assertThat(state(second)).as("restored at %s", cut).isEqualTo(state(first));

      log.subList(cut, log.size()).forEach(second::accept);

      assertThat(state(second)).as("cut at %s", cut).isEqualTo(state(whole));
      assertThat(second.standing()).isEqualTo(whole.standing());
      assertThat(second.balance()).isEqualTo(whole.balance());
    }
  }

  /** Odd and even cells bleed in turn untold; a capacity test; a strap under load steps. */
  @ParameterizedTest
  @ValueSource(strings = {"odd-even", "capacity-test", "bad-strap"})
  void snapshotAndTailEqualTheWholeOfASimulatedLog(String name) {
    Scenario scenario = Scenarios.open(name);
    PackPlan plan = scenario.plans().get(0);
    SimulatedRig rig = scenario.rig();
    PackAnalysis whole = new PackAnalysis(plan, AnalysisSettings.of(plan));
    PackAnalysis cut = new PackAnalysis(plan, AnalysisSettings.of(plan));
    long step = 4 * scenario.pollMs();
    long end = Math.min(scenario.endMs(), scenario.startMs() + 15 * 3_600_000L);
    for (long t = scenario.startMs(); t <= end; t += step) {
      rig.stepTo(t);
      Reading reading = rig.measured().atTime(t);
      whole.accept(reading);
      cut.accept(reading);
      if ((t - scenario.startMs()) % 5_000_000 < step) {
        PackAnalysis next = new PackAnalysis(plan, AnalysisSettings.of(plan));
        state(cut).into(next::state);
        cut = next;
      }
    }

    assertThat(state(cut)).isEqualTo(state(whole));
    assertThat(cut.standing()).isEqualTo(whole.standing());
  }

  @ParameterizedTest
  @ValueSource(longs = {4, 5})
  void aGapAndItsPiecesComeToTheSame(long seed) {
    List<LogEntry> log = MadeLog.entries(seed, CELLS, 9_000);
    List<LogEntry> split = new ArrayList<>();
    for (LogEntry entry : log) {
      if (entry instanceof Gap gap) {
        long third = (gap.toMs() - gap.fromMs()) / 3;
        split.add(new Gap(gap.fromMs(), gap.fromMs() + third, gap.cause()));
        split.add(new Gap(gap.fromMs(), gap.fromMs() + 2 * third, gap.cause()));
      }
      split.add(entry);
    }
    PackAnalysis whole = fresh();
    PackAnalysis pieces = fresh();

    log.forEach(whole::accept);
    split.forEach(pieces::accept);

    assertThat(split).hasSizeGreaterThan(log.size());
    assertThat(pieces.standing()).isEqualTo(whole.standing());
    assertThat(pieces.balance()).isEqualTo(whole.balance());
  }

  @Test
  void everythingBeginsAnewAtADatedChange() {
    long change = MadeLog.START + 3_600_000;
    PackPlan changed =
        PLAN.toBuilder().history(List.of(new PackPlan.Change(change, "cell 2 replaced"))).build();
    List<LogEntry> log = MadeLog.entries(6, CELLS, 9_000);
    PackAnalysis both = new PackAnalysis(changed, AnalysisSettings.of(changed));
    PackAnalysis after = new PackAnalysis(changed, AnalysisSettings.of(changed));

    log.forEach(both::accept);
    log.stream().filter(e -> e.timeMs() >= change).forEach(after::accept);

    assertThat(both.standing()).isEqualTo(after.standing());
  }

  @Test
  void aStateOfAnotherPlanIsRefused() {
    PackAnalysis four = fresh();
    PackPlan other = MadeLog.plan(CELLS + 1);

    assertThatThrownBy(
            () -> state(four).into(new PackAnalysis(other, AnalysisSettings.of(other))::state))
        .isInstanceOf(StateMismatch.class);
  }

  @Test
  void everyStateCutShortIsRefused() {
    PackAnalysis some = fresh();
    MadeLog.entries(7, CELLS, 3_000).forEach(some::accept);
    byte[] good = state(some).bytes();

    for (int length = 0; length < good.length; length += 131) {
      byte[] cut = Arrays.copyOf(good, length);
      assertThatThrownBy(() -> SavedState.ofBytes(cut).into(fresh()::state))
          .isInstanceOf(StateMismatch.class);
    }
  }

  @Test
  void aBoardThatPadsWithZerosHasTheCellsOfThePlan() {
    PackAnalysis analysis = fresh();

    analysis.accept(reading(3300, 3300, 3300, 3300, 3300, 0, 0, 0));

    assertThat(analysis.moment().isComplete()).isTrue();
  }

  @Test
  void anotherNumberOfCellsIsNotComplete() {
    PackAnalysis analysis = fresh();

    analysis.accept(reading(3300, 3300, 3300, 3300, 3300, 3300));

    assertThat(analysis.moment().isComplete()).isFalse();
  }

  @Test
  void foldTimeIsNotMovedByAClockStep() {
    PackAnalysis analysis = fresh();
    analysis.accept(reading(3300, 3300, 3300, 3300, 3300).atTime(1_000_000));
    analysis.accept(new ClockStep(1_001_000, 9_001_000));
    analysis.accept(reading(3300, 3300, 3300, 3300, 3300).atTime(9_002_000));

    assertThat(analysis.moment().upMs()).isEqualTo(2_000);
    assertThat(analysis.moment().wallMs(0)).isEqualTo(9_000_000);
  }

  @Test
  void timeOffIsLearnedWhenAWrongClockIsSetRight() {
    PackAnalysis analysis = fresh();
    analysis.accept(reading(3300, 3300, 3300, 3300, 3300).atTime(10_000_000));
    analysis.accept(new SessionStart(500_000, 2, false, false));
    analysis.accept(new ClockStep(600_000, 13_600_000));

    assertThat(analysis.moment().upMs()).isEqualTo(3_600_000);
  }

  private static Reading reading(int... mv) {
    return Reading.at(MadeLog.START).cells(CellVoltages.ofMv(mv)).currentMa(0).build();
  }

  private static PackAnalysis fresh() {
    return new PackAnalysis(PLAN, AnalysisSettings.of(PLAN));
  }

  private static SavedState state(PackAnalysis analysis) {
    return SavedState.of(analysis::state);
  }
}
