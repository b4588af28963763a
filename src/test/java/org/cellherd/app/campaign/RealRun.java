package org.cellherd.app.campaign;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.cellherd.FreePort;
import org.cellherd.app.campaign.books.AlertTruth;
import org.cellherd.app.campaign.books.Books;
import org.cellherd.app.campaign.books.Chronicle;
import org.cellherd.app.campaign.books.Run;
import org.cellherd.app.campaign.books.Vanished;
import org.cellherd.app.campaign.books.Vitals;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.Catalogue;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.fault.World;
import org.cellherd.app.campaign.stage.BoardPort;
import org.cellherd.app.campaign.stage.BoardRecord;
import org.cellherd.app.campaign.stage.BrokenPath;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.app.campaign.stage.Child;
import org.cellherd.app.campaign.stage.People;
import org.cellherd.app.campaign.stage.RealSite;
import org.cellherd.app.campaign.stage.RoughWire;
import org.cellherd.app.campaign.stage.SerialCable;
import org.cellherd.app.campaign.stage.Shim;
import org.cellherd.app.campaign.stage.Strangers;
import org.cellherd.app.campaign.stage.Threads;
import org.cellherd.app.campaign.stage.VerbDesk;
import org.cellherd.app.daemon.Program;
import org.cellherd.mqtt.Mosquitto;

/**
 * The real program in a process of its own, on a network bridge and a serial line, with a broker, a
 * page and people around it, for some minutes of real time.
 */
final class RealRun {

  private static final Director.Pace PACE = new Director.Pace(4_000, 25_000, 110_000);

  private static final long POLL_MS = 1_000;

  /** The last part belongs to one life, so that what grows can be seen to grow. */
  private static final double IN_LIVES = 0.6;

  private final Path folder;
  private final long seed;
  private final Set<String> only;
  private final Random random;
  private final Chronicle chronicle = new Chronicle();
  private final List<String> complaints = Collections.synchronizedList(new ArrayList<>());
  private final Vitals vitals = new Vitals();

  RealRun(Path folder, long seed, Set<String> only) {
    this.folder = folder.toAbsolutePath();
    this.seed = seed;
    this.only = Set.copyOf(only);
    this.random = new Random(seed);
  }

  /** Runs, and balances the books. */
  CampaignOutcome run(double minutes) throws Exception {
    Path place = Files.createDirectory(folder.resolve("card"));
    try (Card card = Card.mount(place);
        Mosquitto broker = Mosquitto.open(folder);
        BrokenPath path = new BrokenPath(broker.url().port());
        People people = new People(broker.url())) {
      Path log = Files.createDirectory(place.resolve("logs")).resolve("log.db");
      Shim shim = new Shim(folder, place);
      RoughWire crate = CampaignWires.wire("crate", seed, shim::trueMs);
      RoughWire shelf = CampaignWires.wire("shelf", seed, shim::trueMs);
      try (BoardPort port = new BoardPort(crate);
          SerialCable cable = new SerialCable(shelf, folder)) {
        int page = FreePort.find();
        Child child =
            new Child(
                new Child.Settings(folder, log, port.port(), cable.port(), path.port(), page),
                List.of(crate.board(), shelf.board()),
                shim,
                seed);
        RealSite site =
            new RealSite(
                port,
                cable,
                shim,
                child,
                new Strangers(page),
                people,
                new VerbDesk(
                    folder,
                    complaints::add,
                    () -> chronicle.any(CampaignFault::mayHarmLog, 0, shim.trueMs())));
        World world =
            new World(
                List.of(crate, shelf), shim, child, card, path, Optional.of(site), complaints::add);
        return play(world, site, minutes);
      }
    }
  }

  private CampaignOutcome play(World world, RealSite site, double minutes) throws Exception {
    Map<String, BoardRecord> boards = new TreeMap<>();
    boards.put("crate", world.wires().get(0).board().record());
    boards.put("shelf", world.wires().get(1).board().record());
    AlertTruth truth = new AlertTruth(boards, chronicle, POLL_MS);
    Catalogue catalogue = new Catalogue(true, world.card().isOurs(), only, random);
    try (Child child = site.child()) {
      child.start();
      Threads.pause(5_000);
      if (!child.isAlive()) {
        throw new IllegalStateException("it does not start:\n" + child.running().text());
      }
      Director director = new Director(world, catalogue, chronicle, random, PACE);
      long startMs = site.shim().trueMs();
      long lengthMs = Math.round(minutes * 60_000);
      while (site.shim().trueMs() < startMs + lengthMs) {
        boolean isOneLife = site.shim().trueMs() > startMs + lengthMs * IN_LIVES;
        director.play(f -> (!isOneLife || !f.isRestarting()) && mayStrike(f, child));
        revive(child);
        look(site, truth);
        Threads.pause(100);
      }
      director.end();
      Files.write(folder.resolve("faults.txt"), chronicle.lines());
      settle(site);
      revive(child);
      child.end(false, false);
      if (Files.exists(child.log())) {
        Files.copy(child.log(), folder.resolve("log.db"));
      }
      List<Run> runs =
          child.past().stream()
              .map(p -> new Run(p.fromMs(), p.toMs(), p.wasKilled(), p.isDamaging(), p.text()))
              .toList();
      Books books =
          Books.of(
              child.log(),
              new Books.Evidence(
                  boards,
                  POLL_MS,
                  chronicle,
                  runs,
                  child.lastHeld().stream().map(Vanished::event).toList(),
                  child.lastHeld(),
                  site.people().received()));
      return new CampaignOutcome(
          books, truth, List.copyOf(complaints), Optional.of(vitals), "only at the end");
    }
  }

  /** What comes in beside the running program needs one that has begun, and holds its log. */
  private static boolean mayStrike(CampaignFault fault, Child child) {
    return fault.family() != FaultFamily.INPUT || child.isSettled();
  }

  private void revive(Child child) throws Exception {
    if (!child.isAlive()) {
      try {
        child.end(true, false);
      } catch (IllegalStateException byItself) {
        complaints.add(String.valueOf(byItself.getMessage()));
      }
      child.start();
    }
  }

  private long lookedMs;
  private long readMs;

  /** Counts what the process holds, and reads alerts as people do. */
  private void look(RealSite site, AlertTruth truth) throws Exception {
    long now = site.shim().trueMs();
    if (now - lookedMs > 5_000) {
      lookedMs = now;
      Program running = site.child().running();
      vitals.look(running.pid(), now, now - site.child().startedMs(), running.text().length());
    }
    if (now - readMs > 4_000) {
      readMs = now;
      read(site, truth, now);
    }
  }

  private void read(RealSite site, AlertTruth truth, long now) throws Exception {
    if (!site.child().isSettled()
        || chronicle.any(CampaignFault::isRestarting, now - 5_000, now)
        || chronicle.any(FaultFamily.PROCESS, now - 5_000, now)) {
      return;
    }
    int way = random.nextInt(10);
    boolean isLogWhole = !chronicle.any(f -> f.family() == FaultFamily.DISK, now - 5_000, now);
    if (way == 0 && isLogWhole) {
      String json = site.desk().ask("0", "alerts", "--json");
      truth.read("alerts", json.substring(Math.max(0, json.indexOf('['))), site.shim().trueMs());
    } else if (way < 5) {
      site.strangers().alerts().ifPresent(json -> truth.read("page", json, site.shim().trueMs()));
    } else if (!chronicle.any(FaultFamily.BROKER, now - 30_000, now)) {
      site.people().alerts().forEach(json -> truth.read("topic", json, now));
    }
  }

  /** A quiet minute, in which everything that waits is delivered. */
  private void settle(RealSite site) throws InterruptedException {
    int before = -1;
    for (int quiet = 0; quiet < 4; ) {
      TimeUnit.SECONDS.sleep(10);
      int now = site.people().received().size();
      quiet = now == before ? quiet + 1 : 0;
      before = now;
    }
  }
}
