package org.cellherd.app.verb;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.function.Function;
import org.cellherd.alert.AlertEvent;
import org.cellherd.app.SystemTime;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.sim.Scenario;
import org.jspecify.annotations.Nullable;

/**
 * One simulated run of a scenario through the daemon itself: bytes on a line, decoder, analysis,
 * rules, log and broker are the real ones; only the clock jumps and the cells are equations.
 */
final class DemoNight {

  private static final long DAY_MS = 86_400_000;

  private final Scenario scenario;
  private final @Nullable BrokerUrl broker;
  private final Path folder;
  private final PrintWriter out;
  private final LocalClock clock;

  public DemoNight(Scenario scenario, @Nullable BrokerUrl broker, Path folder, PrintWriter out) {
    this.scenario = scenario;
    this.broker = broker;
    this.folder = folder;
    this.out = out;
    this.clock = new LocalClock(scenario.zone(), scenario.endMs() - scenario.startMs() > DAY_MS);
  }

  public void run() throws IOException, InterruptedException {
    SimulatedSite site = new SimulatedSite(scenario, folder, broker);
    out.println();
    out.println(scenario.title() + " (invented, seed " + scenario.seed() + ")");
    out.println(scenario.story().strip());
    out.println();
    out.flush();
    SystemTime time = new SystemTime();
    long startedNanos = time.monotonicNanos();
    MessageTally tally = new MessageTally(out, clock);
    try (TopicListener ear = listen(tally)) {
      DemoSummary summary = drive(site, time, tally);
      ear.awaitQuiet(Duration.ofMillis(300), Duration.ofSeconds(10));
      long took = time.monotonicNanos() - startedNanos;
      summary.print(out, clock, tally, site.config().storeFile(), site.config().file(), took);
    }
  }

  private TopicListener listen(MessageTally tally) {
    return broker == null
        ? TopicListener.none()
        : TopicListener.start(broker, "cellherd/" + SimulatedSite.SITE + "/#", tally);
  }

  private DemoSummary drive(SimulatedSite site, SystemTime time, MessageTally tally)
      throws InterruptedException {
    Storyteller storyteller = new Storyteller(site.config().packs(), out, clock);
    Daemon.Parts parts = site.parts(time, List.of(storyteller), Function.identity());
    try (Daemon daemon = Daemon.open(site.config(), parts)) {
      storyteller.follow(daemon);
      new FastForward(daemon, site.time())
          .runUntil(site.lengthNanos(), () -> awaitDelivery(storyteller, tally));
      return storyteller.summary();
    }
  }

  /**
   * The second client hears of an event before the night goes on, so that the story reads in order.
   */
  private void awaitDelivery(Storyteller storyteller, MessageTally tally)
      throws InterruptedException {
    for (AlertEvent event : storyteller.takeFresh()) {
      if (broker != null) {
        tally.await(event.id());
      }
    }
  }
}
