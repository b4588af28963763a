package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.rule.StoreFault;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * Noise is written into a log whose run ended in order, at drawn places: the next run watches, says
 * so and stores.
 */
class DamagedStartTest {

  private static final int DRAWS = 40;
  private static final int PAGE = 4096;

  @TempDir private Path folder;

  private final HeardEvents heard = new HeardEvents();
  private final List<AlertEvent> events = heard.all;

  @Test
  void whateverOfTheLogIsDamagedTheNextRunWatchesAndStores() throws Exception {
    SimulatedSite site = new SimulatedSite(Scenarios.open("healthy-night"), folder, null);
    Path log = site.config().storeFile();
    String pack = site.config().packs().get(0).plan().id();
    run(site, 90);
    byte[] sound = Files.readAllBytes(log);
    Random random = new Random(20261130);
    List<String> silent = new ArrayList<>();

    for (int draw = 0; draw < DRAWS; draw++) {
      clear(log);
      Files.write(log, sound);
      byte[] noise = new byte[(PAGE / 8) << random.nextInt(6)];
      random.nextBytes(noise);
      int at = random.nextInt(sound.length - noise.length);
      try (RandomAccessFile file = new RandomAccessFile(log.toFile(), "rw")) {
        file.seek(at);
        file.write(noise);
      }
      String what = noise.length + " bytes at " + at + " of " + sound.length;
      events.clear();
      long fromMs = site.time().wallMs();

      run(site, 92 + 2 * draw);

      List<LogEntry> kept = new ArrayList<>();
      try (LogFile written = LogFile.open(log, OpenMode.READER)) {
        written.history().replay(pack, Long.MIN_VALUE, Long.MAX_VALUE, kept::add);
      }
      assertThat(kept.stream().filter(e -> e instanceof Reading && e.timeMs() >= fromMs).count())
          .as(what)
          .isGreaterThan(10);
      if (events.stream().noneMatch(e -> e.alert().key().rule().equals(StoreFault.ID))) {
        silent.add(what);
      }
    }
    // What lies in free pages, in an index or in readings is told when it is read or checked.
    assertThat(silent).hasSizeLessThan(DRAWS / 2);
  }

  private void run(SimulatedSite site, int untilMinute) throws Exception {
    Daemon.Parts parts = site.parts(new SystemTime(), List.of(heard), Function.identity());
    try (Daemon daemon = Daemon.open(site.config(), parts)) {
      new FastForward(daemon, site.time())
          .runUntil(TimeUnit.MINUTES.toNanos(untilMinute), () -> {});
    }
  }

  private static void clear(Path log) throws Exception {
    try (var beside = Files.newDirectoryStream(log.getParent(), log.getFileName() + "*")) {
      for (Path file : beside) {
        Files.delete(file);
      }
    }
  }
}
