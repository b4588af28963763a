package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.lang.reflect.Proxy;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import java.util.stream.Stream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertKey;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.ageing.AgeingFold;
import org.cellherd.analysis.capacity.CapacityFold;
import org.cellherd.analysis.energy.EnergyFold;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.fold.History;
import org.cellherd.analysis.resistance.ResistanceFold;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.store.LogWriter;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What the herd does by the clock, with nothing wrong anywhere. */
class HerdTest {

  @TempDir private Path folder;

  private final List<AlertEvent> events = new ArrayList<>();
  private final List<PackSummary> summaries = new ArrayList<>();
  private final List<String> sentences = new ArrayList<>();

  private PackState.Word state = PackState.Word.STARTING;

  private final Sink listener =
      new Sink() {
        @Override
        public void event(AlertEvent event) {
          events.add(event);
        }

        @Override
        public void summary(String pack, PackSummary summary) {
          summaries.add(summary);
          sentences.add(state.word() + ": " + summary.sentence());
        }

        @Override
        public void state(String pack, PackState now) {
          state = now.word();
        }
      };

  @Test
  void aStoreAlertOfTheRunBeforeEndsOnceTheLogIsWritten() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    PackPlan plan = site.config().packs().get(0).plan();
    long start = site.time().wallMs();
    try (LogFile log = LogFile.open(site.config().storeFile(), OpenMode.WRITER)) {
      Alert trouble =
          new Alert(
              "store-1",
              new AlertKey(plan.id(), StoreFault.ID, 0),
              AlertState.ACTIVE,
              Priority.WARNING,
              start,
              start,
              Double.NaN,
              Double.NaN,
              "",
              "Readings are not being stored: the disk is full, since 18:00.",
              "Make room.",
              Facts.NONE,
              Optional.empty(),
              true);
      log.alertLog()
          .commit(List.of(new AlertEvent("store-1:raised", AlertEvent.Change.RAISED, trouble)));
    }
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(listener), line -> line);
    try (Daemon daemon = Daemon.open(site.config(), parts)) {
      new FastForward(daemon, site.time()).runUntil(2 * 3_600_000_000_000L, () -> {});
    }

    assertThat(events)
        .filteredOn(e -> e.alert().key().rule().equals(StoreFault.ID))
        .extracting(AlertEvent::change)
        .contains(AlertEvent.Change.CLEARED);
  }

  @Test
  void healthyPackIsSummedUpEveryTenSecondsFromItsFirstReadingOn() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    long start = site.time().wallMs();

    run(site, TimeUnit.MINUTES.toNanos(1), () -> {});

    assertThat(summaries).hasSize(6);
    assertThat(summaries.get(0).timeMs() - start).isLessThan(2_000);
  }

  @Test
  void boardIsCalledSilentOnlyOnceAnAttemptHasFailed() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    leaveKilledRun(site);

    run(site, TimeUnit.MINUTES.toNanos(1), () -> {});

    assertThat(sentences.get(0)).isEqualTo("starting: Starting, waiting for the board.");
    assertThat(sentences).noneMatch(said -> said.contains("silent"));
  }

  @Test
  void boardThatFailsTheFirstAttemptIsCalledSilentAtOnce() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    leaveKilledRun(site);

    try (Daemon daemon = Daemon.open(site.config(), withoutDecoder(site))) {
      new FastForward(daemon, site.time()).runUntil(TimeUnit.SECONDS.toNanos(5), () -> {});
    }

    assertThat(sentences.get(0)).startsWith("starting: Starting");
    assertThat(sentences).last().isEqualTo("silent: The board is silent.");
  }

  /** The log of a run that ended an hour ago without a word, and was heard until then. */
  private void leaveKilledRun(SimulatedSite site) throws Exception {
    Path before = Files.createDirectory(folder.resolve("before"));
    Path left = before.resolve(site.config().storeFile().getFileName());
    PackPlan plan = site.config().packs().get(0).plan();
    long endMs = site.time().wallMs() - 3_600_000;
    writeDays(left, plan, endMs, 1);
    try (LogFile log = LogFile.open(left, OpenMode.WRITER)) {
      log.writer().append(plan.id(), new SessionStart(endMs, log.writer().nextRun(), true, true));
      log.writer().commit();
      try (Stream<Path> files = Files.list(before)) {
        for (Path file : files.filter(Files::isRegularFile).toList()) {
          Files.copy(file, folder.resolve(file.getFileName()));
        }
      }
    }
  }

  @Test
  void stateIsSavedEachHourSoThatAKilledRunGoesOnFromThere() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("first-night"), folder, null);
    Path killed = Files.createDirectory(folder.resolve("killed"));

    run(site, TimeUnit.HOURS.toNanos(3), () -> copyLog(killed));

    PackConfig pack = site.config().packs().get(0);
    Path log = killed.resolve(site.config().storeFile().getFileName());
    try (LogFile file = LogFile.open(log, OpenMode.WRITER)) {
      PackWatch fromState = new PackWatch(pack);
      PackWatch whole = new PackWatch(pack);
      new Recovery(file).restore(fromState);
      file.history().replay("crate", Long.MIN_VALUE, Long.MAX_VALUE, whole::accept);

      History.Snapshot newest =
          file.history().snapshot("crate", Recovery.ANALYSIS, Long.MAX_VALUE).orElseThrow();
      assertThat(whole.analysis().timeMs() - newest.atMs()).isBetween(0L, 3_700_000L);
      assertThat(fromState.analysis().standing()).isEqualTo(whole.analysis().standing());
      assertThat(fromState.alerts().standing()).isEqualTo(whole.alerts().standing());
    }
  }

  @Test
  void longLogWithoutASavedStateIsReadInTheBackgroundWhileThePackIsWatched() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    PackConfig pack = site.config().packs().get(0);
    String id = pack.plan().id();
    writeDays(site.config().storeFile(), pack.plan(), site.time().wallMs(), 3);

    try (Daemon daemon =
        Daemon.open(
            site.config(), site.parts(new SystemTime(), List.of(listener), Function.identity()))) {
      PackWatch watch = daemon.watch(id).orElseThrow();
      Object byTheLatestDay = watch.analysis();
      FastForward fast = new FastForward(daemon, site.time());
      long until = 0;
      while (watch.analysis() == byTheLatestDay && until < TimeUnit.HOURS.toNanos(10)) {
        until += TimeUnit.SECONDS.toNanos(10);
        fast.runUntil(until, () -> {});
      }
      fast.runUntil(until + TimeUnit.MINUTES.toNanos(1), () -> {});

      assertThat(watch.analysis()).isNotSameAs(byTheLatestDay);
    }

    try (LogFile file = LogFile.open(site.config().storeFile(), OpenMode.WRITER)) {
      PackWatch whole = new PackWatch(pack);
      PackWatch fromState = new PackWatch(pack);
      file.history().replay(id, Long.MIN_VALUE, Long.MAX_VALUE, whole::accept);

      assertThat(new Recovery(file).restore(fromState)).isTrue();
      assertThat(fromState.analysis().standing()).isEqualTo(whole.analysis().standing());
      assertThat(fromState.alerts().standing()).isEqualTo(whole.alerts().standing());
    }
  }

  @Test
  void foldWithoutAStateOfItsVersionIsFoldedAgainAloneInTheBackground() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    PackConfig pack = site.config().packs().get(0);
    String id = pack.plan().id();
    writeDays(site.config().storeFile(), pack.plan(), site.time().wallMs(), 3);
    saveWithoutRests(site.config().storeFile(), pack);

    try (Daemon daemon =
        Daemon.open(
            site.config(), site.parts(new SystemTime(), List.of(listener), Function.identity()))) {
      PackAnalysis byTheLatestDay = daemon.watch(id).orElseThrow().analysis();
      assertThat(byTheLatestDay.lacking()).containsExactly(FindingName.REST);
      FastForward fast = new FastForward(daemon, site.time());
      fast.runUntil(TimeUnit.MINUTES.toNanos(1), () -> {});
      fast.awaitWholeLog();
      fast.runUntil(TimeUnit.MINUTES.toNanos(2), () -> {});

      assertThat(daemon.watch(id).orElseThrow().analysis()).isSameAs(byTheLatestDay);
    }

    try (LogFile file = LogFile.open(site.config().storeFile(), OpenMode.WRITER)) {
      PackWatch whole = new PackWatch(pack);
      PackWatch fromState = new PackWatch(pack);
      file.history().replay(id, Long.MIN_VALUE, Long.MAX_VALUE, whole::accept);

      assertThat(new Recovery(file).restore(fromState)).isTrue();
      assertThat(fromState.isLacking()).isFalse();
      assertThat(SavedState.of(fromState.analysis()::state))
          .isEqualTo(SavedState.of(whole.analysis()::state));
    }
  }

  /** As a program saved them that did not know rests, or another version of them. */
  private static void saveWithoutRests(Path log, PackConfig pack) throws StorageFailure {
    PackWatch watch = new PackWatch(pack);
    PackAnalysis older =
        new PackAnalysis(
            pack.plan(),
            pack.analysis(),
            List.of(EnergyFold::new, CapacityFold::new, ResistanceFold::new, AgeingFold::new));
    try (LogFile file = LogFile.open(log, OpenMode.WRITER)) {
      String id = pack.plan().id();
      file.history().replay(id, Long.MIN_VALUE, Long.MAX_VALUE, watch::accept);
      file.history().replay(id, Long.MIN_VALUE, Long.MAX_VALUE, older::accept);
      long next = older.timeMs() + 1;
      LogWriter writer = file.writer();
      writer.saveSnapshot(id, Recovery.ANALYSIS, next, SavedState.of(older::state));
      writer.saveSnapshot(id, Recovery.ALERTS, next, SavedState.of(watch.alerts()::state));
      writer.commit();
    }
  }

  @Test
  void whatKnowsOnlyTheLatestDayIsNotSavedAsIfItKnewAll() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    PackConfig pack = site.config().packs().get(0);
    writeDays(site.config().storeFile(), pack.plan(), site.time().wallMs(), 3);
    Daemon daemon =
        Daemon.open(
            site.config(), site.parts(new SystemTime(), List.of(listener), Function.identity()));
    daemon.close();

    try (LogFile file = LogFile.open(site.config().storeFile(), OpenMode.WRITER)) {
      assertThat(file.history().snapshot(pack.plan().id(), Recovery.ANALYSIS, Long.MAX_VALUE))
          .isEmpty();
    }
  }

  /** Days of a pack at rest and in slow use, every 30 s, up to a time. */
  private static void writeDays(Path log, PackPlan plan, long endMs, int days)
      throws StorageFailure {
    try (LogFile file = LogFile.open(log, OpenMode.WRITER);
        Importer importer = file.importer(plan.id())) {
      int[] mv = new int[plan.series()];
      for (long timeMs = endMs - days * 86_400_000L; timeMs < endMs; timeMs += 30_000) {
        boolean isUsed = timeMs / 3_600_000 % 3 == 0;
        Arrays.fill(mv, isUsed ? 3_290 : 3_300);
        importer.add(
            Reading.at(timeMs)
                .cells(CellVoltages.ofMv(mv))
                .packMv(mv[0] * mv.length)
                .currentMa(isUsed ? -300 : 0)
                .build());
      }
    }
  }

  @Test
  void decoderThatAlwaysFailsRaisesTheSilentBoard() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);

    try (Daemon daemon = Daemon.open(site.config(), withoutDecoder(site))) {
      new FastForward(daemon, site.time()).runUntil(TimeUnit.MINUTES.toNanos(30), () -> {});
    }

    assertThat(events)
        .anyMatch(
            e ->
                e.change() == AlertEvent.Change.RAISED
                    && e.alert().key().rule().equals(Rules.id("silent")));
  }

  private Daemon.Parts withoutDecoder(SimulatedSite site) throws Exception {
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(listener), Function.identity());
    return new Daemon.Parts(
        parts.time(),
        parts.computerTime(),
        spec -> failing(parts.decoders().find(spec)),
        parts.links(),
        parts.sinks(),
        parts.mqttListener());
  }

  /** The same decoder with a defect: every poll ends in an exception. */
  private static Decoder failing(Decoder whole) {
    Dialogue dialogue = whole.dialogue(1);
    Dialogue defect =
        (Dialogue)
            Proxy.newProxyInstance(
                Dialogue.class.getClassLoader(),
                new Class<?>[] {Dialogue.class},
                (proxy, method, arguments) -> {
                  if (method.getName().equals("feed")) {
                    throw new IllegalStateException("a defect of the decoder");
                  }
                  return method.invoke(dialogue, arguments);
                });
    return (Decoder)
        Proxy.newProxyInstance(
            Decoder.class.getClassLoader(),
            new Class<?>[] {Decoder.class},
            (proxy, method, arguments) ->
                method.getName().equals("dialogue") ? defect : method.invoke(whole, arguments));
  }

  private void run(SimulatedSite site, long untilNanos, Kill atTheEnd) throws Exception {
    try (Daemon daemon =
        Daemon.open(
            site.config(), site.parts(new SystemTime(), List.of(listener), Function.identity()))) {
      new FastForward(daemon, site.time()).runUntil(untilNanos, () -> {});
      atTheEnd.run();
    }
  }

  /** What is done while the daemon still has its files open. */
  private interface Kill {
    void run() throws IOException;
  }

  private void copyLog(Path to) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        Files.copy(file, to.resolve(file.getFileName()));
      }
    }
  }
}
