package org.cellherd.app.verb;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.function.Function;
import org.cellherd.alert.news.Sink;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.board.Link;
import org.cellherd.board.LoopbackLink;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.mqtt.MqttSettings;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.PackModel;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.SimulatedRig;
import org.cellherd.store.sql.StoreSettings;
import org.jspecify.annotations.Nullable;

/**
 * A place whose boards, cells and clock are simulated and where everything else is the program
 * itself: what the demo shows and what tests run.
 */
public final class SimulatedSite {

  /** Name of the place. */
  public static final String SITE = "demo";

  /** Ten seconds of simulated time pass in milliseconds, too often to wait for the disk. */
  private static final long AT_RISK_MS = 60_000;

  private final Scenario scenario;
  private final SimulatedRig rig;
  private final SimulatedTime time;
  private final Config config;

  /**
   * Prepares a folder: an earlier run's log is removed, the plan is written.
   *
   * @param broker where to publish, or null for nowhere
   */
  public SimulatedSite(Scenario scenario, Path folder, @Nullable BrokerUrl broker)
      throws IOException {
    this.scenario = scenario;
    this.rig = scenario.rig();
    this.time = new SimulatedTime(scenario.startMs());
    Path log = folder.resolve("night.db");
    Path plan = folder.resolve("plan.toml");
    Files.createDirectories(folder);
    for (String ending : List.of("", "-wal", "-shm", "-tail", "-broker", ".lock")) {
      Files.deleteIfExists(folder.resolve("night.db" + ending));
    }
    StringBuilder text = new StringBuilder("# An invented pack, written by the demo.\n");
    text.append("zone = \"").append(scenario.zone()).append("\"\n\n");
    scenario.plans().forEach(p -> text.append(PlanText.of(p)).append('\n'));
    Files.writeString(plan, text.toString());
    this.config =
        new Config(
            plan,
            SITE,
            scenario.zone(),
            log,
            StoreSettings.DEFAULT.withAtRiskMs(AT_RISK_MS),
            packs(),
            List.of(),
            Optional.ofNullable(broker).map(SimulatedSite::mqtt),
            Optional.empty(),
            Optional.empty(),
            List.of(),
            Optional.empty(),
            Optional.empty());
  }

  private static MqttSettings mqtt(BrokerUrl url) {
    return MqttSettings.builder(url, SITE).publishEveryS(60).build();
  }

  private List<PackConfig> packs() {
    List<PackConfig> packs = new ArrayList<>();
    List<PackPlan> plans = scenario.plans();
    for (int i = 0; i < plans.size(); i++) {
      packs.add(pack(plans.get(i), rig.packs().get(i)));
    }
    return packs;
  }

  private PackConfig pack(PackPlan plan, PackModel model) {
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
    PackConfig defaults = PackConfig.of(plan, scenario.zone());
    return new PackConfig(
        plan,
        Optional.of(line),
        defaults.analysis(),
        defaults.alerts().withPollMs(scenario.pollMs()));
  }

  public Config config() {
    return config;
  }

  public SimulatedTime time() {
    return time;
  }

  /** Length of the scenario by the monotonic clock, ns. */
  public long lengthNanos() {
    return (scenario.endMs() - scenario.startMs()) * 1_000_000;
  }

  /**
   * What a daemon of this place is made of.
   *
   * @param computerTime the clock of the broker's connection, which does not jump
   * @param around put around the line, to record its bytes
   */
  public Daemon.Parts parts(
      TimeSource computerTime, List<Sink> sinks, Function<Link, Link> around) {
    SimulatedBoard board = new SimulatedBoard(scenario, rig, Specs::find, time::wallMs);
    return new Daemon.Parts(
        time,
        computerTime,
        spec -> Specs.find(spec).orElseThrow(),
        line -> around.apply(new LoopbackLink("loopback", board, time)),
        sinks,
        MqttListener.NONE);
  }
}
