package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.TimeUnit;
import org.cellherd.Await;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertState;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.Rules;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.SimulatedSite;
import org.cellherd.board.Link;
import org.cellherd.board.LinkException;
import org.cellherd.board.WrappedLink;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.page.LiveBoard;
import org.cellherd.page.PagePack;
import org.cellherd.sim.Scenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A line is cut and mended at drawn times: what active alerts say is true where it is read. */
class CutLineTest {

  /** The slowest of the three, the log, is brought up to date so often; and a poll. */
  private static final long BEHIND_S = 75;

  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm");

  @TempDir private Path folder;

  private final Map<String, String> retained = new ConcurrentHashMap<>();
  private boolean isCut;
  private long lastReadingMs;

  @Test
  void activeAlertsSaySinceWhenNothingConfirmsThem() throws Exception {
    long seed = 11;
    Random drawn = new Random(seed);
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear =
            TopicListener.start(broker.url(), "cellherd/demo/+/alert/#", this::hear)) {
      SimulatedSite site = new SimulatedSite(Scenarios.open("runaway"), folder, broker.url());
      LiveBoard page =
          new LiveBoard(
              site.config().packs().stream()
                  .map(p -> PagePack.polledEvery(p.plan(), 1000))
                  .toList(),
              site.time());
      Daemon.Parts parts = site.parts(new SystemTime(), List.of(page, heard()), Cuttable::new);
      try (Daemon daemon = Daemon.open(site.config(), parts)) {
        FastForward fast = new FastForward(daemon, site.time());
        long at = TimeUnit.MINUTES.toNanos(66);
        fast.runUntil(at, () -> {});
        for (int i = 0; i < 6; i++) {
          isCut = i % 2 == 0;
          at += TimeUnit.SECONDS.toNanos(BEHIND_S + drawn.nextInt(300));
          fast.runUntil(at, () -> {});
          check(daemon, page, site, "seed " + seed + ", turn " + i);
        }
      }
      ear.awaitQuiet(Duration.ofMillis(50), Duration.ofSeconds(5));
    }
  }

  @Test
  void aRunThatBeginsConfirmsNothingOfTheOneBefore() throws Exception {
    try (InProcessBroker broker = InProcessBroker.start()) {
      SimulatedSite site = new SimulatedSite(Scenarios.open("runaway"), folder, broker.url());
      try (Daemon daemon =
          Daemon.open(site.config(), site.parts(new SystemTime(), List.of(), link -> link))) {
        new FastForward(daemon, site.time()).runUntil(TimeUnit.MINUTES.toNanos(66), () -> {});
      }
      site.time().advanceMs(TimeUnit.MINUTES.toMillis(8));
      try (Daemon daemon =
              Daemon.open(site.config(), site.parts(new SystemTime(), List.of(), link -> link));
          LogFile log = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
        assertThat(daemon.pollers()).isNotEmpty();
        assertThat(log.alertLog().standing())
            .isNotEmpty()
            .allMatch(a -> a.text().matches(".* Not confirmed since [0-9: -]+\\."));
      }
    }
  }

  private void hear(String topic, String payload, boolean isRetained) {
    retained.put(topic, payload);
  }

  private void check(Daemon daemon, LiveBoard page, SimulatedSite site, String when)
      throws Exception {
    List<Alert> logged;
    try (LogFile log = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      logged = log.alertLog().standing();
    }
    assertIsTrue(logged, "log, " + when, site.config().zone());
    assertIsTrue(page.alerts(), "page, " + when, site.config().zone());
    for (Alert alert : page.alerts()) {
      String topic = "cellherd/demo/" + alert.key().pack() + "/alert/" + alert.key().topic();
      String wanted = JsonText.of(alert.facts());
      Await.until(
          topic + ": " + wanted, Duration.ofSeconds(10), () -> wanted.equals(retained.get(topic)));
    }
    assertThat(daemon.pollers()).isNotEmpty();
  }

  private void assertIsTrue(List<Alert> alerts, String where, ZoneId zone) {
    List<Alert> judged =
        alerts.stream()
            .filter(
                a -> a.state() != AlertState.RETURNED && !a.key().rule().equals(Rules.id("silent")))
            .toList();
    assertThat(judged).as(where).isNotEmpty();
    String last = CLOCK.format(Instant.ofEpochMilli(lastReadingMs).atZone(zone));
    // A rule may have lost its own premise before the line was cut: then it says an earlier time.
    List<String> texts = judged.stream().map(Alert::text).toList();
    if (isCut) {
      assertThat(texts)
          .as(where)
          .allMatch(t -> t.matches(".* Not confirmed since [0-9: -]+\\.( Again, .*)?"));
      assertThat(texts).as(where).anyMatch(t -> t.contains("Not confirmed since " + last + "."));
    } else {
      assertThat(texts).as(where).anyMatch(t -> !t.contains("Not confirmed"));
    }
  }

  private Sink heard() {
    return new Sink() {
      @Override
      public void reading(String pack, org.cellherd.pack.Reading reading) {
        lastReadingMs = reading.timeMs();
      }
    };
  }

  /** A line that loses all bytes while it is cut. */
  private final class Cuttable extends WrappedLink {
    Cuttable(Link line) {
      super(line);
    }

    @Override
    public void write(byte[] bytes) throws LinkException {
      super.write(isCut ? new byte[0] : bytes);
    }
  }
}
