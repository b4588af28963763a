package org.cellherd.app.soak;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.cellherd.app.SystemTime;
import org.cellherd.app.campaign.stage.BrokenPath;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.board.Link;
import org.cellherd.board.LoopbackLink;
import org.cellherd.json.JsonReader;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.SimulatedRig;

/**
 * Months of operation in minutes, with everything going wrong that does: the line, the clock, the
 * network, the power, the card. Afterwards the books are balanced: what the daemon heard against
 * what the log holds, what it told against what a second client received.
 *
 * <pre>
 * DAYS [SEED [SCENARIO]]    prints the faults and the balance; when it does not balance the exit
 *                           code is 1 and the log stays under target/
 * </pre>
 */
public final class Soak {

  private static final String SITE = "soak";
  private static final long HOUR_NANOS = TimeUnit.HOURS.toNanos(1);

  private final Path folder;
  private final Random random;
  private final Scenario scenario;
  private final PackPlan plan;
  private final SimulatedTime time;
  private final SimulatedRig rig;
  private final Ledger ledger = new Ledger();
  private final Map<Ending, Integer> endings = new EnumMap<>(Ending.class);
  private final Map<Mishap, Integer> mishaps = new EnumMap<>(Mishap.class);
  private final List<Integer> damagedRuns = new ArrayList<>();
  private final Set<String> received = Collections.synchronizedSet(new LinkedHashSet<>());
  private Path log;
  private double deadZoneA = 0.1;
  private int salvages;

  /** A campaign in a folder of its own. */
  public Soak(Path folder, String scenario, long seed) {
    this.folder = folder;
    this.random = new Random(seed);
    this.scenario = Scenarios.open(scenario).withSeed(seed);
    this.plan = this.scenario.plans().get(0);
    this.time = new SimulatedTime(this.scenario.startMs());
    this.rig = this.scenario.rig();
    this.log = folder.resolve("run0").resolve("cellherd.db");
  }

  /** See the class. */
  public static void main(String[] args) throws Exception {
    double days = args.length > 0 ? Double.parseDouble(args[0]) : 90;
    long seed = args.length > 1 ? Long.parseLong(args[1]) : 1;
    String scenario = args.length > 2 ? args[2] : "offgrid-season";
    Path folder = Files.createTempDirectory(Path.of("target"), "soak");
    Balance balance = new Soak(folder, scenario, seed).run(days);
    balance.print(System.out);
    System.exit(balance.isBalanced() ? 0 : 1);
  }

  /** Runs so many simulated days and balances the books. */
  public Balance run(double days) throws Exception {
    long until = Math.round(days * 24 * HOUR_NANOS);
    try (Card disk = Card.mount(folder);
        InProcessBroker broker = InProcessBroker.start();
        BrokenPath path = new BrokenPath(broker.url().port());
        TopicListener ear =
            TopicListener.start(
                broker.url(), "cellherd/" + SITE + "/+/event", (t, p, r) -> received.add(id(p)))) {
      Files.createDirectories(parent());
      for (int run = 1; time.monotonicNanos() < until; run++) {
        oneRun(path, disk, Math.min(until, time.monotonicNanos() + hours(2, 30)));
        time.advanceNanos(hours(0.01, 1.5));
        tellProgress(run);
      }
      finish(path);
      ear.awaitQuiet(Duration.ofMillis(500), Duration.ofSeconds(20));
      Faults faults = new Faults(endings, mishaps, damagedRuns, salvages);
      Balance balance =
          Balance.of(log, plan.id(), scenario.pollMs(), ledger, faults, List.copyOf(received));
      if (!balance.isBalanced()) {
        Files.copy(log, folder.resolveSibling(folder.getFileName() + ".db"));
      }
      return balance;
    }
  }

  private Path parent() {
    return Optional.ofNullable(log.getParent()).orElseThrow();
  }

  private long hours(double least, double most) {
    return (long) ((least + random.nextDouble() * (most - least)) * HOUR_NANOS);
  }

  private static String id(String payload) {
    try {
      return new JsonReader(JsonReader.Limits.MESSAGE).read(payload).text("event").orElse(payload);
    } catch (JsonReader.Problem notOurs) {
      return payload;
    }
  }

  /** One life of the daemon, with mishaps in it, and its end. */
  private void oneRun(BrokenPath path, Card disk, long untilNanos) throws Exception {
    Ending ending = Ending.ALL.get(random.nextInt(Ending.ALL.size()));
    RoughLink link = new RoughLink(new LoopbackLink("loopback", board(), time), random.nextLong());
    Schedule schedule = new Schedule(time, random, untilNanos);
    Stage stage = new Stage(link, path, time, disk);
    if (random.nextInt(4) == 0) {
      mishaps.merge(Mishap.WRONG_CLOCK_AT_BOOT, 1, Integer::sum);
      schedule.during(stage, Mishap.WRONG_CLOCK_AT_BOOT, time.monotonicNanos());
    }
    if (random.nextInt(8) == 0) {
      mishaps.merge(Mishap.PLAN_CHANGED, 1, Integer::sum);
      deadZoneA = 0.22 - deadZoneA;
    }
    for (int i = random.nextInt(5); i > 0; i--) {
      Mishap mishap = Mishap.LATER.get(random.nextInt(Mishap.LATER.size()));
      if (mishap == Mishap.DISK_FULL && !disk.isOurs()) {
        continue;
      }
      mishaps.merge(mishap, 1, Integer::sum);
      schedule.later(stage, mishap);
    }
    schedule.play();
    Daemon daemon = Daemon.open(config(path), parts(link));
    new FastForward(daemon, time).runUntil(untilNanos, schedule::play);
    schedule.end();
    end(daemon, ending);
  }

  private SimulatedBoard board() {
    long start = scenario.startMs();
    // The cells live by true time, whatever the computer's clock shows.
    return new SimulatedBoard(
        scenario, rig, Specs::find, () -> start + time.monotonicNanos() / 1_000_000);
  }

  private Daemon.Parts parts(Link link) {
    return new Daemon.Parts(
        time,
        new SystemTime(),
        spec -> Specs.find(spec).orElseThrow(),
        line -> link,
        List.of(ledger),
        MqttListener.NONE);
  }

  private Config config(BrokenPath path) throws IOException {
    String text =
        "site = \"%s\"\nzone = \"UTC\"\n[mqtt]\nurl = \"mqtt://127.0.0.1:%d\"\n%s%s"
            .formatted(
                SITE,
                path.port(),
                PlanText.of(plan),
                """
                [pack.line]
                spec = "%s"
                link = "tcp:127.0.0.1:1"
                poll_s = %d
                [pack.analysis]
                dead_zone_a = %.2f
                """
                    .formatted(
                        rig.packs().get(0).decoder(),
                        Math.max(1, scenario.pollMs() / 1000),
                        deadZoneA));
    Path file = Files.writeString(parent().resolve("cellherd.toml"), text);
    return ConfigFiles.load(Optional.of(file));
  }

  /** Ends a run: the files that a killed one leaves are those of the moment of its death. */
  private void end(Daemon daemon, Ending ending) throws IOException {
    countSalvages();
    endings.merge(ending, 1, Integer::sum);
    ledger.runEnded();
    if (ending == Ending.IN_ORDER) {
      daemon.close();
      return;
    }
    Path next = Files.createDirectory(folder.resolve("killed" + ledger.runEnds().size()));
    copy(next);
    daemon.close();
    Path copied = next.resolve("cellherd.db");
    ending.strike(copied, random);
    if (ending == Ending.DAMAGED) {
      damagedRuns.add(ledger.runEnds().size());
    }
    erase(parent());
    log = copied;
  }

  private void countSalvages() throws IOException {
    try (Stream<Path> files = Files.list(parent())) {
      for (Path file : files.filter(Soak::isDamaged).toList()) {
        salvages++;
        Files.delete(file);
      }
    }
  }

  private static boolean isDamaged(Path file) {
    return file.getFileName().toString().matches(".*\\.damaged-\\d+");
  }

  private void copy(Path to) throws IOException {
    try (Stream<Path> files = Files.list(parent())) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        Files.copy(file, to.resolve(file.getFileName()));
      }
    }
  }

  private static void erase(Path folder) throws IOException {
    try (Stream<Path> files = Files.list(folder)) {
      for (Path file : files.toList()) {
        Files.delete(file);
      }
    }
    Files.delete(folder);
  }

  private void tellProgress(int run) {
    if (run % 50 == 0) {
      System.err.printf("after %d runs: day %d%n", run, time.monotonicNanos() / (24 * HOUR_NANOS));
    }
  }

  /** A last quiet run, in which the network works and everything that waits is delivered. */
  private void finish(BrokenPath path) throws Exception {
    RoughLink link = new RoughLink(new LoopbackLink("loopback", board(), time), 1);
    Daemon daemon = Daemon.open(config(path), parts(link));
    long until = time.monotonicNanos() + TimeUnit.MINUTES.toNanos(5);
    new FastForward(daemon, time).runUntil(until, () -> {});
    SystemTime real = new SystemTime();
    long patience = real.monotonicNanos() + TimeUnit.SECONDS.toNanos(60);
    while (received.size() < Set.copyOf(ledger.told()).size() && real.monotonicNanos() < patience) {
      new FastForward(daemon, time).runUntil(time.monotonicNanos() + 1_000_000_000L, () -> {});
      real.sleepNanos(20_000_000);
    }
    ledger.runEnded();
    daemon.close();
    countSalvages();
  }

  /** What went wrong. */
  record Faults(
      Map<Ending, Integer> endings,
      Map<Mishap, Integer> mishaps,
      List<Integer> damagedRuns,
      int salvages) {
    Faults {
      endings = Map.copyOf(endings);
      mishaps = Map.copyOf(mishaps);
      damagedRuns = List.copyOf(damagedRuns);
    }

    void print(PrintStream out) {
      out.println("runs ended:  " + endings);
      out.println("mishaps:     " + mishaps);
      out.println("salvaged:    " + salvages + " times");
    }
  }
}
