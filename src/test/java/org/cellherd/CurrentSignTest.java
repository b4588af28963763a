package org.cellherd;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.SignState;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.ValueSource;

/** A current printed with the wrong sign is found at any pace, and a right one is never doubted. */
class CurrentSignTest {

  @ParameterizedTest
  @ValueSource(strings = {"capacity-test", "healthy-nmc", "low-capacity", "healthy-week"})
  void theSignIsToldAtAnyPaceAndNeverWrongly(String name) {
    List<SignState> told = new ArrayList<>();
    for (int seed = 1; seed <= 3; seed++) {
      Scenario scenario = Scenarios.open(name).withSeed(seed);
      List<LogEntry> log = log(scenario);
      for (int paceS : new int[] {1, 13, 60}) {
        for (int sign : new int[] {1, -1}) {
          SplittableRandom random = new SplittableRandom(seed * 1009L + paceS * 31L + sign);
          SignState found = sign(scenario.plans().get(0), thinned(log, paceS, sign, random));
          assertThat(found)
              .as("%s, seed %d, every %d s, sign %d", name, seed, paceS, sign)
              .isNotEqualTo(sign > 0 ? SignState.INVERTED : SignState.CONFIRMED);
          told.add(found);
        }
      }
    }
    long known = told.stream().filter(s -> s != SignState.UNCONFIRMED).count();
    System.out.printf("sign of the current, %s: told in %d of %d%n", name, known, told.size());
    assertThat(known).isGreaterThanOrEqualTo(told.size() * 2L / 3);
  }

  /** A verb that asks for one finding goes on from the state that the whole analysis saved. */
  @ParameterizedTest
  @EnumSource(FindingName.class)
  void theSignOfASavedStateIsToldWithEveryFinding(FindingName name) {
    Scenario scenario = Scenarios.open("capacity-test");
    PackPlan plan = scenario.plans().get(0);
    PackAnalysis whole = new PackAnalysis(plan, AnalysisSettings.of(plan));
    thinned(log(scenario), 13, -1, new SplittableRandom(7)).forEach(whole::accept);

    PackAnalysis asked = new PackAnalysis(plan, AnalysisSettings.of(plan)).only(Set.of(name));
    SavedState.of(whole::state).into(asked::state);

    assertThat(asked.lacking()).isEmpty();
    assertThat(asked.currentSign()).isEqualTo(SignState.INVERTED);
  }

  private static List<LogEntry> log(Scenario scenario) {
    List<LogEntry> log = new ArrayList<>();
    Hearing hearing =
        new DirectHearing(
            scenario,
            scenario.rig(),
            (pack, entry) -> {
              if (pack == 0) {
                log.add(entry);
              }
            });
    for (long t = scenario.startMs(); t <= scenario.endMs(); t += scenario.pollMs()) {
      hearing.goOn(t);
    }
    return log;
  }

  /** A fifth of the rows missing, the current times the sign. */
  private static List<LogEntry> thinned(
      List<LogEntry> log, int paceS, int sign, SplittableRandom random) {
    List<LogEntry> thinned = new ArrayList<>();
    long next = Long.MIN_VALUE;
    for (LogEntry entry : log) {
      if (!(entry instanceof Reading reading)) {
        thinned.add(entry);
      } else if (reading.timeMs() >= next) {
        next = reading.timeMs() + paceS * 1000L;
        if (random.nextInt(5) > 0) {
          Reading.Builder printed = reading.toBuilder();
          reading.currentMa().ifPresent(ma -> printed.currentMa(sign * ma));
          thinned.add(printed.build());
        }
      }
    }
    return thinned;
  }

  private static SignState sign(PackPlan plan, List<LogEntry> log) {
    PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan), List.of());
    log.forEach(analysis::accept);
    return analysis.currentSign();
  }
}
