package org.cellherd.analysis.engine;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.stream.Stream;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.MadeLog;
import org.cellherd.analysis.fold.FindingFold;
import org.cellherd.analysis.fold.Fold;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.analysis.state.State;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedRig;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/** A new version of one fold reads the log again for that fold, and the others go on. */
class FoldVersionsTest {
  private static final long SEED = 20261128;
  private static final int CELLS = 4;

  private final Map<FindingName, Integer> fed = new EnumMap<>(FindingName.class);

  /** A fold that counts what it is fed, and may be of a later version. */
  private final class Counted implements FindingFold {
    private final FindingFold fold;
    private final int newer;

    Counted(FindingFold fold, int newer) {
      this.fold = fold;
      this.newer = newer;
    }

    @Override
    public Fold.Kind kind() {
      Fold.Kind kind = fold.kind();
      return new Fold.Kind(kind.name(), kind.version() + newer, kind.restsOn());
    }

    @Override
    public void accept(LogEntry entry) {
      fed.merge(fold.kind().name(), 1, Integer::sum);
      fold.accept(entry);
    }

    @Override
    public void state(State io) {
      fold.state(io);
    }

    @Override
    public Optional<Finding> standing() {
      return fold.standing();
    }

    @Override
    public List<Finding> drainCompleted() {
      return fold.drainCompleted();
    }

    @Override
    public void hear(Finding finding) {
      fold.hear(finding);
    }

    @Override
    public void end() {
      fold.end();
    }
  }

  /** The standard folds, of which one is of a later version; none when it is null. */
  private PackAnalysis analysis(PackPlan plan, Set<FindingName> raised) {
    List<PackAnalysis.FoldMaker> makers = new ArrayList<>();
    for (PackAnalysis.FoldMaker maker : StandardFolds.LIST) {
      makers.add(
          (p, settings, moment) -> {
            FindingFold fold = maker.make(p, settings, moment);
            return new Counted(fold, raised.contains(fold.kind().name()) ? 1 : 0);
          });
    }
    return new PackAnalysis(plan, AnalysisSettings.of(plan), makers);
  }

  @ParameterizedTest
  @EnumSource(
      value = FindingName.class,
      names = {"ENERGY", "CAPACITY", "RESISTANCE", "REST", "AGEING"})
  void oneNewVersionIsFoldedAgainAndTheOthersGoOnFromTheirStates(FindingName raised) {
    List<LogEntry> log = MadeLog.entries(SEED, CELLS, 6_000);
    int cut = 3_000 + new Random(SEED + raised.word().hashCode()).nextInt(2_000);
    PackPlan plan = MadeLog.plan(CELLS);
    PackAnalysis before = analysis(plan, Set.of());
    log.subList(0, cut).forEach(before::accept);
    PackAnalysis whole = analysis(plan, Set.of(raised));
    log.forEach(whole::accept);
    fed.clear();

    PackAnalysis live = analysis(plan, Set.of(raised));
    SavedState.of(before::state).into(live::state);
    Set<FindingName> resting =
        raised == FindingName.CAPACITY
            ? Set.of(raised, FindingName.SOC, FindingName.ENERGY, FindingName.AGEING)
            : Set.of(raised);
    assertThat(live.lacking()).isEqualTo(resting);
    log.subList(cut, log.size()).forEach(live::accept);
    assertThat(fed.values()).as("all are fed what is new").containsOnly(log.size() - cut);
    fed.clear();
    PackAnalysis again = live.toTake(live.lacking());
    log.forEach(again::accept);
    assertThat(fed).containsEntry(raised, log.size());
    if (raised != FindingName.CAPACITY) {
      Set<FindingName> alone = Set.of(FindingName.RESISTANCE, FindingName.REST);
      assertThat(fed.keySet())
          .as("only what it rests on")
          .doesNotContainAnyElementsOf(alone.stream().filter(name -> name != raised).toList());
    }
    live.take(again);

    assertThat(SavedState.of(live::state)).isEqualTo(SavedState.of(whole::state));
    assertThat(live.standing()).isEqualTo(whole.standing());
    assertThat(live.timeMs()).isEqualTo(whole.timeMs());
  }

  /**
   * Doubts of the counted charge are told with those of the readings, and rest on nothing there.
   */
  @Test
  void theChecksOfTheReadingsAreFoldedAgainWithoutTheCountOfTheCharge() {
    List<LogEntry> log = MadeLog.entries(SEED, CELLS, 6_000);
    PackAnalysis live = analysis(MadeLog.plan(CELLS), Set.of());
    log.forEach(live::accept);
    fed.clear();
    PackAnalysis again = live.toTake(Set.of(FindingName.PLAUSIBILITY));
    log.forEach(again::accept);
    assertThat(fed).as("no test of capacity, on which the count rests").isEmpty();
    SavedState before = SavedState.of(live::state);
    List<Finding> told = live.standing();

    live.take(again);

    assertThat(SavedState.of(live::state)).isEqualTo(before);
    assertThat(live.standing()).isEqualTo(told);
  }

  @Test
  void aNewFoldLacksItsStateAndTakesNoOtherWithIt() {
    List<LogEntry> log = MadeLog.entries(SEED, CELLS, 2_000);
    PackPlan plan = MadeLog.plan(CELLS);
    List<PackAnalysis.FoldMaker> fewer =
        StandardFolds.LIST.subList(0, StandardFolds.LIST.size() - 1);
    PackAnalysis before = new PackAnalysis(plan, AnalysisSettings.of(plan), fewer);
    log.forEach(before::accept);
    PackAnalysis after = new PackAnalysis(plan, AnalysisSettings.of(plan));
    SavedState.of(before::state).into(after::state);

    assertThat(after.lacking()).containsExactly(FindingName.AGEING);
  }

  /** A pack and what was logged of it. */
  private record Log(PackPlan plan, List<LogEntry> entries) {
    @Override
    public String toString() {
      return plan.id();
    }
  }

  static Stream<Log> logs() {
    return Stream.of(
        new Log(MadeLog.plan(CELLS), MadeLog.entries(SEED + 1, CELLS, 9_000)),
        simulated("capacity-test"),
        simulated("odd-even"));
  }

  private static Log simulated(String name) {
    Scenario scenario = Scenarios.open(name);
    SimulatedRig rig = scenario.rig();
    List<LogEntry> log = new ArrayList<>();
    long step = 4 * scenario.pollMs();
    long end = Math.min(scenario.endMs(), scenario.startMs() + 60 * 3_600_000L);
    for (long t = scenario.startMs(); t <= end; t += step) {
      rig.stepTo(t);
      log.add(rig.measured().atTime(t));
    }
    return new Log(scenario.plans().get(0), log);
  }

  /** Else a fold that was read again would miss what it takes from another. */
  @ParameterizedTest
  @MethodSource("logs")
  void eachFoldAloneWithWhatItRestsOnFindsTheSame(Log log) {
    PackPlan plan = log.plan();
    PackAnalysis whole = new PackAnalysis(plan, AnalysisSettings.of(plan));
    Map<FindingName, PackAnalysis> alone = new EnumMap<>(FindingName.class);
    for (FindingName name : FindingName.values()) {
      alone.put(name, whole.only(Set.of(name)));
    }
    for (LogEntry entry : log.entries()) {
      whole.accept(entry);
      alone.forEach(
          (name, one) -> {
            one.accept(entry);
            if (name != FindingName.FULL_CHARGE) {
              List<Finding> its =
                  whole.completed().stream()
                      .filter(
                          f ->
                              f.name() == name
                                  || (f.name() == FindingName.FULL_CHARGE
                                      && name == FindingName.BALANCE))
                      .toList();
              assertThat(one.completed()).as("completed %s", name).isEqualTo(its);
            }
          });
    }
    alone.forEach(
        (name, one) -> {
          assertThat(of(one, name)).as("standing %s", name).isEqualTo(of(whole, name));
          assertThat(one.currentSign()).as("sign beside %s", name).isEqualTo(whole.currentSign());
          PackAnalysis taken = whole;
          SavedState before = SavedState.of(taken::state);
          taken.take(one);
          assertThat(SavedState.of(taken::state)).as("state of %s", name).isEqualTo(before);
        });
  }

  private static List<Finding> of(PackAnalysis analysis, FindingName name) {
    return analysis.standing().stream().filter(f -> f.name() == name).toList();
  }
}
