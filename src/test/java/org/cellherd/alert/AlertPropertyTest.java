package org.cellherd.alert;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What holds for any stream of entries, acknowledgements, clock steps and restarts. */
class AlertPropertyTest {
  private static final Map<Change, Set<AlertState>> AFTER =
      new EnumMap<>(
          Map.of(
              Change.RAISED, EnumSet.of(AlertState.ACTIVE),
              Change.ESCALATED, EnumSet.of(AlertState.ACTIVE),
              Change.REPEATED, EnumSet.of(AlertState.ACTIVE, AlertState.CLEARING),
              Change.ACKNOWLEDGED,
                  EnumSet.of(AlertState.ACKNOWLEDGED, AlertState.CLEARING, AlertState.RETURNED),
              Change.RETURNED, EnumSet.of(AlertState.RETURNED),
              Change.CLEARED, EnumSet.of(AlertState.NORMAL),
              Change.NOTICE, EnumSet.of(AlertState.NORMAL)));

  private final PackPlan plan =
      PackPlan.builder("crate", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_200).build();
  private final AlertSettings settings = Rules.defaults(plan);

  /** A log of an ill pack: mostly readings, with gaps, steps, restarts and missing values. */
  private List<LogEntry> log(Random random, int length) {
    List<LogEntry> entries = new ArrayList<>();
    long now = 1_767_225_600_000L;
    long session = 1;
    entries.add(new SessionStart(now, session, true, true));
    double mv = 3300;
    for (int i = 0; i < length; i++) {
      int dice = random.nextInt(1000);
      if (dice < 3) {
        long from = now;
        now += 1 + random.nextInt(1_000_000);
        entries.add(new Gap(from, now, List.of(Gap.Cause.values()).get(random.nextInt(8))));
      } else if (dice < 5) {
        now += random.nextInt(600_000);
        entries.add(new SessionStart(now, ++session, random.nextBoolean(), random.nextBoolean()));
      } else if (dice < 6) {
        long to = now + random.nextInt(7_200_000) - 3_600_000;
        entries.add(new ClockStep(now, to));
        now = to;
      } else {
        now += 1000;
        mv = Math.max(2300, Math.min(3900, mv + random.nextGaussian() * 20));
        entries.add(reading(now, mv, random));
      }
    }
    return entries;
  }

  private static Reading reading(long now, double mv, Random random) {
    int tenth = (int) Math.round(mv * 10);
    Reading.Builder b = Reading.at(now);
    if (random.nextInt(50) != 0) {
      b.cells(CellVoltages.ofTenthMv(33_000 + random.nextInt(20), tenth, 33_000, 32_990));
    }
    if (random.nextInt(50) != 0) {
      b.currentMa(random.nextInt(40_000) - 20_000);
    }
    return b.temperatures(Temperatures.ofTenthC(random.nextInt(1000) - 300)).build();
  }

  private final class Run {
    AlertEngine engine = new AlertEngine(plan, settings);
    PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    final List<AlertEvent> told = new ArrayList<>();
    final Map<String, Alert> log = new LinkedHashMap<>();
    private final List<LogEntry> since = new ArrayList<>();
    private byte[] engineState = saved();
    private SavedState analysisState = analysed();

    void entry(LogEntry entry) {
      analysis.accept(entry);
      take(engine.onEntry(entry, analysis));
      since.add(entry);
    }

    /** What the daemon saves once in a while. */
    void snapshot() {
      engineState = saved();
      analysisState = analysed();
      since.clear();
    }

    /**
     * As the daemon starts: the newest saved state, what the log holds since, of which nothing is
     * told again, and the alerts that stand by the log.
     */
    void restart() {
      engine = new AlertEngine(plan, settings);
      SavedState.ofBytes(engineState).into(engine::state);
      analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
      analysisState.into(analysis::state);
      for (LogEntry entry : since) {
        analysis.accept(entry);
        engine.onEntry(entry, analysis);
      }
      take(engine.adopt(List.copyOf(log.values())));
    }

    private SavedState analysed() {
      return SavedState.of(analysis::state);
    }

    void take(List<AlertEvent> events) {
      for (AlertEvent event : events) {
        told.add(event);
        if (event.stands()) {
          log.put(event.alert().id(), event.alert());
        } else {
          log.remove(event.alert().id());
        }
      }
    }

    byte[] saved() {
      SavedState out = SavedState.of(engine::state);
      return out.bytes();
    }
  }

  private Run run(long seed, boolean restarts) {
    Random random = new Random(seed);
    Run run = new Run();
    for (LogEntry entry : log(new Random(seed), 2000)) {
      if (restarts && entry instanceof SessionStart && random.nextBoolean()) {
        run.restart();
      }
      if (restarts && random.nextInt(250) == 0) {
        run.snapshot();
      }
      run.entry(entry);
      if (random.nextInt(300) == 0) {
        for (Alert alert : run.engine.standing()) {
          run.take(run.engine.acknowledge(alert.id(), "ann", entry.timeMs()));
        }
      }
    }
    return run;
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void noEventIdComesTwice(long seed) {
    Set<String> ids = new HashSet<>();

    for (AlertEvent event : run(seed, true).told) {
      assertThat(ids.add(event.id())).as(event.id()).isTrue();
    }
    assertThat(ids).hasSizeGreaterThan(10);
  }

  @ParameterizedTest
  @ValueSource(longs = {11, 12, 13, 14, 15, 16, 17, 18})
  void statesFollowTheDiagram(long seed) {
    Map<String, Change> last = new HashMap<>();

    for (AlertEvent event : run(seed, true).told) {
      assertThat(AFTER.get(event.change())).contains(event.alert().state());
      String id = event.alert().id();
      Change before = last.put(id, event.change());
      switch (event.change()) {
        case RAISED -> assertThat(before).isIn(null, Change.RETURNED, Change.CLEARED);
        case CLEARED -> assertThat(before).isNotIn((Object) null, Change.CLEARED);
        case RETURNED, REPEATED, ESCALATED, ACKNOWLEDGED -> assertThat(before).isNotNull();
        case NOTICE -> assertThat(before).isNull();
      }
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {21, 22, 23, 24, 25, 26})
  void noCriticalIsLost(long seed) {
    Run run = run(seed, true);
    Map<String, Boolean> open = new LinkedHashMap<>();

    for (AlertEvent event : run.told) {
      if (event.alert().priority() == Priority.CRITICAL) {
        boolean isSeen = event.alert().acknowledgedBy().isPresent();
        if (event.change() == Change.CLEARED) {
          assertThat(isSeen).as("cleared unseen: " + event.id()).isTrue();
          open.remove(event.alert().id());
        } else if (event.change() != Change.NOTICE) {
          open.put(event.alert().id(), true);
        }
      }
    }
    assertThat(run.engine.standing().stream().map(Alert::id)).containsAll(open.keySet());
  }

  @ParameterizedTest
  @ValueSource(longs = {31, 32, 33, 34})
  void aSavedAndRestoredEngineGoesOnTheSame(long seed) {
    List<LogEntry> entries = log(new Random(seed), 1500);
    Run whole = new Run();
    Run cut = new Run();
    Random random = new Random(seed);

    for (LogEntry entry : entries) {
      if (random.nextInt(200) == 0) {
        byte[] state = cut.saved();
        cut.engine = new AlertEngine(plan, settings);
        SavedState.ofBytes(state).into(cut.engine::state);
        assertThat(cut.saved()).isEqualTo(state);
      }
      whole.entry(entry);
      cut.entry(entry);
    }

    assertThat(cut.told).isEqualTo(whole.told);
    assertThat(cut.saved()).isEqualTo(whole.saved());
  }

  @ParameterizedTest
  @ValueSource(longs = {41, 42, 43})
  void theSameLogGivesTheSameEvents(long seed) {
    assertThat(run(seed, false).told).isEqualTo(run(seed, false).told);
  }

  @ParameterizedTest
  @ValueSource(longs = {51, 52, 53})
  void noSentenceSaysSafe(long seed) {
    for (AlertEvent event : run(seed, true).told) {
      assertThat((event.alert().text() + event.alert().firstStep()).toLowerCase(Locale.ROOT))
          .doesNotContain("safe");
      assertThat(event.alert().text()).isNotBlank().endsWith(".");
      boolean isOver =
          event.alert().state() == AlertState.RETURNED || event.change() == Change.CLEARED;
      boolean isPast = event.alert().text().startsWith("No longer the case");
      if (isPast && event.alert().state() == AlertState.CLEARING) {
        continue;
      }
      assertThat(event.alert().firstStep()).matches(isOver ? "" : ".+\\.");
    }
  }
}
