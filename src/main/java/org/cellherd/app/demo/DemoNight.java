package org.cellherd.app.demo;

import java.io.IOException;
import java.io.PrintWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.Instant;
import java.time.ZoneOffset;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.board.LoopbackLink;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.mqtt.TopicListener;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Specs;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.rig.PackModel;
import org.cellherd.store.StoreSettings;
import org.jspecify.annotations.Nullable;

/**
 * One simulated run of a scenario through the daemon itself: bytes on a line, decoder, analysis,
 * rules, log and broker are the real ones; only the clock jumps and the cells are equations.
 */
public final class DemoNight {

  private static final String SITE = "demo";
  private static final DateTimeFormatter CLOCK =
      DateTimeFormatter.ofPattern("HH:mm", Locale.ROOT).withZone(ZoneOffset.UTC);

  private final Scenario scenario;
  private final @Nullable BrokerUrl broker;
  private final Path folder;
  private final PrintWriter out;

  /** A run that writes its files into a folder, which is emptied first. */
  public DemoNight(Scenario scenario, @Nullable BrokerUrl broker, Path folder, PrintWriter out) {
    this.scenario = scenario;
    this.broker = broker;
    this.folder = folder;
    this.out = out;
  }

  /** Runs it and prints what happens. */
  public void run() throws IOException, InterruptedException {
    Path log = folder.resolve("night.db");
    Path plan = folder.resolve("plan.toml");
    Files.createDirectories(folder);
    for (String ending : List.of("", "-wal", "-shm", ".lock")) {
      Files.deleteIfExists(folder.resolve("night.db" + ending));
    }
    List<PackConfig> packs = new ArrayList<>();
    StringBuilder planText = new StringBuilder("# An invented pack, written by the demo.\n");
    List<PackPlan> plans = scenario.plans();
    for (int i = 0; i < plans.size(); i++) {
      packs.add(pack(plans.get(i), i));
      planText.append(PlanText.of(plans.get(i))).append('\n');
    }
    Files.writeString(plan, planText.toString());
    out.println();
    out.println(scenario.title() + " (invented, seed " + scenario.seed() + ")");
    out.println(scenario.story().strip());
    out.println();
    out.flush();
    long startedNanos = System.nanoTime();
    MessageTally tally = new MessageTally(out);
    try (TopicListener ear = listen(tally)) {
      DemoSummary summary =
          drive(
              new Config(
                  plan,
                  SITE,
                  ZoneOffset.UTC,
                  log,
                  StoreSettings.DEFAULT,
                  packs,
                  List.of(),
                  Optional.ofNullable(broker).map(DemoNight::mqtt),
                  Optional.empty(),
                  List.of()),
              tally);
      ear.awaitQuiet(Duration.ofMillis(300), Duration.ofSeconds(10));
      summary.print(out, tally, log, plan, System.nanoTime() - startedNanos);
    }
  }

  private TopicListener listen(MessageTally tally) {
    return broker == null
        ? TopicListener.none()
        : TopicListener.start(broker, "cellherd/" + SITE + "/#", tally);
  }

  private static MqttSettings mqtt(BrokerUrl url) {
    return MqttSettings.builder(url, SITE).publishEveryS(60).build();
  }

  private PackConfig pack(PackPlan plan, int index) {
    PackModel model = scenario.rig().packs().get(index);
    LineConfig line =
        new LineConfig(
            model.decoder(),
            "loopback",
            model.address(),
            (int) scenario.pollMs(),
            OptionalInt.empty(),
            OptionalInt.empty(),
            Optional.empty(),
            OptionalInt.empty());
    return new PackConfig(
        plan,
        Optional.of(line),
        AnalysisSettings.of(plan),
        AlertSettings.defaults(plan).withPollMs(scenario.pollMs()));
  }

  private DemoSummary drive(Config config, MessageTally tally) throws InterruptedException {
    SimulatedTime time = new SimulatedTime(scenario.startMs());
    SimulatedBoard board = new SimulatedBoard(scenario, scenario.rig(), Specs::find, time::wallMs);
    Storyteller storyteller = new Storyteller(config.packs(), out);
    Daemon.Parts parts =
        new Daemon.Parts(
            time,
            new SystemTime(),
            spec -> Specs.find(spec).orElseThrow(),
            line -> new LoopbackLink("loopback", board, time),
            List.of(storyteller),
            MqttListener.NONE);
    try (Daemon daemon = Daemon.open(config, parts)) {
      storyteller.follow(daemon);
      long length = (scenario.endMs() - scenario.startMs()) * 1_000_000;
      FastForward night = new FastForward(daemon, time);
      night.runUntil(
          length,
          () -> {
            for (AlertEvent event : storyteller.takeFresh()) {
              if (broker != null) {
                tally.await(event.id());
              }
            }
          });
      return storyteller.summary();
    }
  }

  static String clock(long ms) {
    return CLOCK.format(Instant.ofEpochMilli(ms));
  }
}
