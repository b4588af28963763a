package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.pack.StorageFailure;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a second process reads of the alerts is what the running one holds of them. */
class StatesInLogTest {

  /** Ten seconds where an alert chatters, and a tick on either side. */
  private static final long LATEST_MS = 12_000;

  @TempDir private Path folder;

  private final Map<String, Long> otherSince = new HashMap<>();
  private final Set<AlertState> met = new HashSet<>();
  private long worstMs;

  @Test
  void logTellsEachStateOfABouncingNightWithinSeconds() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("bouncing-night"), folder, null);
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(), Function.identity());
    try (Daemon daemon = Daemon.open(site.config(), parts);
        LogFile log = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      String pack = site.config().packs().get(0).plan().id();
      FastForward fast = new FastForward(daemon, site.time());
      fast.runUntil(
          TimeUnit.HOURS.toNanos(6),
          () -> {
            PackWatch watch = daemon.watch(pack).orElseThrow();
            compare(watch.alerts().standing(), log, site.time().wallMs());
          });
    }
    System.out.println("the log was at most " + worstMs + " ms late, states " + met);
    assertThat(worstMs).as("ms late").isLessThan(LATEST_MS);
    assertThat(met).contains(AlertState.ACTIVE, AlertState.CLEARING);
  }

  private void compare(List<Alert> held, LogFile log, long nowMs) {
    Map<String, AlertState> logged;
    try {
      logged = states(log.alertLog().standing());
    } catch (StorageFailure failure) {
      throw new AssertionError(failure);
    }
    Map<String, AlertState> states = states(held);
    met.addAll(states.values());
    otherSince.keySet().removeIf(id -> states.get(id) == logged.get(id));
    states.forEach(
        (id, state) -> {
          if (state != logged.get(id)) {
            worstMs = Math.max(worstMs, nowMs - otherSince.computeIfAbsent(id, i -> nowMs));
          }
        });
  }

  private static Map<String, AlertState> states(List<Alert> alerts) {
    return alerts.stream().collect(Collectors.toMap(Alert::id, Alert::state));
  }
}
