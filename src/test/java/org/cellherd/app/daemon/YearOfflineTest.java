package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TestScenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;

/** A computer without a battery for its clock, a year without any network, started once a month. */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class YearOfflineTest {

  private static final int MONTHS = 12;
  private static final long MONTH_NANOS = TimeUnit.DAYS.toNanos(30);
  private static final long RUN_NANOS = TimeUnit.MINUTES.toNanos(3);
  private static final long SECOND_MS = 1_000;

  private long firstBootMs;
  private final List<Long> trueStartsMs = new ArrayList<>();
  private List<LogEntry> log = List.of();

  @BeforeAll
  void liveThroughTheYear(@TempDir Path folder) throws Exception {
    // Nobody looks at its pack between the runs: it lives in large steps there.
    String night = Scenarios.text("healthy-night").orElseThrow();
    Scenario slow = TestScenarios.read(night.replaceFirst("(?m)^hours", "step_s = 10\nhours"));
    SimulatedSite site = new SimulatedSite(slow, folder, null);
    firstBootMs = site.time().wallMs();
    site.time().setWallSure(false);
    for (int month = 0; month < MONTHS; month++) {
      // Each time the clock says what it said at the first boot.
      site.time().stepWallMs(firstBootMs - site.time().wallMs());
      run(site, () -> {});
      site.time().advanceNanos(MONTH_NANOS - RUN_NANOS);
    }
    site.time().stepWallMs(firstBootMs - site.time().wallMs());
    run(site, () -> comeIntoTheNetwork(site));
    try (LogFile file = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      List<LogEntry> entries = new ArrayList<>();
      String pack = site.config().packs().get(0).plan().id();
      file.history().replay(pack, Long.MIN_VALUE, Long.MAX_VALUE, entries::add);
      log = entries;
    }
  }

  private void run(SimulatedSite site, Runnable halfway) throws Exception {
    long begin = site.time().monotonicNanos();
    trueStartsMs.add(trueMs(site));
    try (Daemon daemon =
        Daemon.open(site.config(), site.parts(new SystemTime(), List.of(), Function.identity()))) {
      FastForward fast = new FastForward(daemon, site.time());
      fast.runUntil(begin + RUN_NANOS / 2, () -> {});
      halfway.run();
      fast.runUntil(begin + RUN_NANOS, () -> {});
    }
  }

  private long trueMs(SimulatedSite site) {
    return firstBootMs + site.time().monotonicNanos() / 1_000_000;
  }

  private void comeIntoTheNetwork(SimulatedSite site) {
    site.time().stepWallMs(trueMs(site) - site.time().wallMs());
    site.time().setWallSure(true);
  }

  @Test
  void whatHappenedLaterStandsLaterInTheLog() {
    List<Long> runs = new ArrayList<>();
    for (LogEntry entry : log) {
      if (entry instanceof SessionStart start) {
        runs.add(start.session());
      }
    }

    assertThat(runs).hasSize(MONTHS + 1).isSorted();
    assertThat(log).extracting(LogEntry::timeMs).isSorted();
  }

  @Test
  void withinEachRunReadingsLieAsFarApartAsTheyDid() {
    LogEntry before = log.get(0);
    int readings = 0;
    for (LogEntry entry : log.subList(1, log.size())) {
      if (entry instanceof Reading && before instanceof Reading) {
        readings++;
        assertThat(entry.timeMs() - before.timeMs()).isCloseTo(SECOND_MS, within(50L));
      }
      before = entry;
    }

    assertThat(readings).isGreaterThan((MONTHS + 1) * 170);
  }

  @Test
  void runsThatNeverKnewTheTimeSaySoAndTheLastIsDatedRight() {
    List<SessionStart> starts =
        log.stream().filter(SessionStart.class::isInstance).map(SessionStart.class::cast).toList();

    assertThat(starts.subList(0, MONTHS)).noneMatch(SessionStart::clockSure);
    assertThat(starts.get(MONTHS).timeMs()).isCloseTo(trueStartsMs.get(MONTHS), within(50L));
    assertThat(log)
        .filteredOn(ClockStep.class::isInstance)
        .allMatch(step -> ((ClockStep) step).fromMs() == ((ClockStep) step).toMs());
  }
}
