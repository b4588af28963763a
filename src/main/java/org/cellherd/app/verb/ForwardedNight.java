package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.function.Function;
import org.cellherd.app.config.Config;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.forward.ForwardSettings;
import org.cellherd.forward.wire.Lane;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.pack.StorageFailure;
import org.cellherd.pack.TimeSource;
import org.cellherd.sim.Scenario;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/** A simulated site that hands its log over while its time flies. */
final class ForwardedNight {

  private static final long LOOK_NANOS = 100_000_000L;
  private static final long MOST_S = 300;
  private static final int KB_PER_S = 10_000;

  /** A night lasts seconds here, so what a killed gatherer had is sent again soon. */
  private static final long AGAIN_MS = 2_000;

  private final SimulatedSite site;
  private final Config config;
  private final TimeSource computerTime;

  /** A site of a name, its files in a folder of the same. */
  public ForwardedNight(
      Lane lane, Scenario scenario, Path folder, BrokerUrl broker, TimeSource computerTime)
      throws IOException {
    this.site = new SimulatedSite(scenario, folder.resolve(lane.site()), null);
    this.computerTime = computerTime;
    LinkSettings link =
        new LinkSettings(
            broker,
            "cellherd-" + lane.site(),
            Optional.empty(),
            Optional.empty(),
            LinkSettings.Timing.DEFAULT,
            LinkSettings.USUAL_WAITING);
    this.config =
        site.config().forwarding(new ForwardSettings(lane, link, KB_PER_S, AGAIN_MS, false));
  }

  /**
   * Plays it, and waits until a centre holds all that the log has finished.
   *
   * @param played counted down when it was played, whatever came of it
   * @return how much no centre holds, parcels
   */
  public long run(CountDownLatch played) throws InterruptedException, StorageFailure {
    try (Daemon daemon =
        Daemon.open(config, site.parts(computerTime, List.of(), Function.identity()))) {
      new FastForward(daemon, site.time()).runUntil(site.lengthNanos(), () -> {});
      played.countDown();
      long end = computerTime.monotonicNanos() + TimeUnit.SECONDS.toNanos(MOST_S);
      while (waiting() > 0 && computerTime.monotonicNanos() < end) {
        computerTime.sleepNanos(LOOK_NANOS);
      }
      return waiting();
    } finally {
      played.countDown();
    }
  }

  private long waiting() throws StorageFailure {
    try (LogFile log = LogFile.open(config.storeFile(), OpenMode.READER)) {
      return log.journal().waiting();
    }
  }
}
