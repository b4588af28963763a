package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.StoredEvent;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A run that begins while its log cannot be opened watches, alerts, says so and loses nothing. */
class UnopenableLogTest {

  @TempDir private Path folder;

  private final HeardEvents heard = new HeardEvents();
  private final List<AlertEvent> events = heard.all;

  @Test
  void watchGoesOnWithoutTheLogAndBeginsAnewWithIt() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    Path inTheWay = folder.resolve("night.db.lock");
    run(site, 10, daemon -> {});
    Files.delete(inTheWay);
    Files.createDirectory(inTheWay);
    List<String> told = new ArrayList<>();

    run(
        site,
        30,
        daemon -> {
          assertThat(store()).extracting(AlertEvent::change).containsExactly(Change.RAISED);
          assertThat(store().get(0).alert().text()).contains("night.db.lock: cannot be written");
          assertThat(daemon.isToBeginAnew()).isFalse();
          told.add(daemon.test(site.config().packs().get(0).plan().id(), "owner"));
          Files.delete(inTheWay);
          play(daemon, site, 32);
          assertThat(daemon.isToBeginAnew()).isTrue();
        });
    run(site, 40, daemon -> assertThat(daemon.isToBeginAnew()).isFalse());

    assertThat(store())
        .extracting(AlertEvent::change)
        .containsExactly(Change.RAISED, Change.CLEARED);
    List<LogEntry> entries = new ArrayList<>();
    try (LogFile log = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      String pack = site.config().packs().get(0).plan().id();
      log.history().replay(pack, Long.MIN_VALUE, Long.MAX_VALUE, entries::add);
      assertThat(log.events(Long.MIN_VALUE, Long.MAX_VALUE))
          .extracting(StoredEvent::event)
          .extracting(AlertEvent::id)
          .containsAll(events.stream().map(AlertEvent::id).toList())
          .containsAll(told);
    }
    assertThat(entries.stream().filter(SessionStart.class::isInstance))
        .extracting(entry -> ((SessionStart) entry).session())
        .containsExactly(1L, 2L, 3L);
    List<Long> times =
        entries.stream().filter(Reading.class::isInstance).map(LogEntry::timeMs).toList();
    for (int i = 1; i < times.size(); i++) {
      assertThat(times.get(i) - times.get(i - 1)).isBetween(1L, 15_000L);
    }
    assertThat(times.get(times.size() - 1) - times.get(0)).isGreaterThan(39 * 60_000L);
  }

  private List<AlertEvent> store() {
    return events.stream().filter(e -> e.alert().key().rule().equals(StoreFault.ID)).toList();
  }

  private interface Look {
    void at(Daemon daemon) throws Exception;
  }

  private void run(SimulatedSite site, int untilMinute, Look look) throws Exception {
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(heard), Function.identity());
    try (Daemon daemon = Daemon.open(site.config(), parts)) {
      play(daemon, site, untilMinute);
      look.at(daemon);
    }
  }

  private static void play(Daemon daemon, SimulatedSite site, int untilMinute) throws Exception {
    new FastForward(daemon, site.time()).runUntil(TimeUnit.MINUTES.toNanos(untilMinute), () -> {});
  }
}
