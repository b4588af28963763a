package org.cellherd.app.campaign;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.cellherd.app.campaign.books.AlertTruth;
import org.cellherd.app.campaign.books.Books;
import org.cellherd.app.campaign.books.Chronicle;
import org.cellherd.app.campaign.books.Run;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.Catalogue;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.fault.World;
import org.cellherd.app.campaign.stage.BoardRecord;
import org.cellherd.app.campaign.stage.BrokenPath;
import org.cellherd.app.campaign.stage.Card;
import org.cellherd.app.campaign.stage.DaemonLife;
import org.cellherd.app.campaign.stage.DrivenClock;
import org.cellherd.app.campaign.stage.People;
import org.cellherd.app.campaign.stage.RoughWire;
import org.cellherd.app.verb.StandingAsRead;
import org.cellherd.json.JsonText;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/** Hours of operation in minutes: the daemon's own classes on a driven clock. */
final class SimulatedCampaign {

  private static final Director.Pace PACE = new Director.Pace(240_000, 400_000, 3_600_000);
  private static final long POLL_MS = 5_000;
  private static final long STEP_MS = 10_000;
  private static final long READ_EVERY_MS = 300_000;

  /** 2026-01-10T17:00:00Z, an evening. */
  private static final long START_MS = 1_768_064_400_000L;

  private final Path folder;
  private final long seed;
  private final Set<String> only;
  private final Random random;
  private final Chronicle chronicle = new Chronicle();
  private final List<String> complaints = new ArrayList<>();
  private int audits;
  private long audited;

  SimulatedCampaign(Path folder, long seed, Set<String> only) {
    this.folder = folder.toAbsolutePath();
    this.seed = seed;
    this.only = Set.copyOf(only);
    this.random = new Random(seed);
  }

  /** Runs, and balances the books. */
  CampaignOutcome run(double hours) throws Exception {
    SimulatedTime time = new SimulatedTime(START_MS);
    DrivenClock clock = new DrivenClock(time);
    RoughWire wire = CampaignWires.wire("crate", seed, clock::trueMs);
    Path place = Files.createDirectory(folder.resolve("card"));
    try (Card card = Card.mount(place);
        InProcessBroker broker = InProcessBroker.start();
        BrokenPath path = new BrokenPath(broker.url().port());
        People people = new People(broker.url());
        DaemonLife life =
            new DaemonLife(
                new DaemonLife.Place(place, card, wire, path), clock, time, complaints::add)) {
      World world =
          new World(List.of(wire), clock, life, card, path, Optional.empty(), complaints::add);
      return play(world, life, people, hours);
    }
  }

  private CampaignOutcome play(World world, DaemonLife life, People people, double hours)
      throws Exception {
    Map<String, BoardRecord> boards = Map.of("crate", world.wires().get(0).board().record());
    AlertTruth truth = new AlertTruth(boards, chronicle, POLL_MS);
    Catalogue catalogue = new Catalogue(false, world.card().isOurs(), only, random);
    life.auditedBy((log, runs) -> audit(log, boards, runs));
    life.start();
    Director director = new Director(world, catalogue, chronicle, random, PACE);
    long untilMs = START_MS + Math.round(hours * 3_600_000);
    long readMs = START_MS;
    while (world.clock().trueMs() < untilMs) {
      life.work(STEP_MS);
      director.play(CampaignFault::isSimulated);
      if (world.clock().trueMs() - readMs > READ_EVERY_MS) {
        readMs = world.clock().trueMs();
        read(life, truth, readMs);
      }
    }
    director.end();
    life.work(300_000);
    life.end(false, false);
    Files.copy(life.log(), folder.resolve("log.db"));
    Files.write(folder.resolve("faults.txt"), chronicle.lines());
    Books books =
        Books.of(
            life.log(),
            new Books.Evidence(
                boards,
                POLL_MS,
                chronicle,
                life.runs(),
                life.told(),
                life.vanished(),
                people.received()));
    String before = audits + " before damage, over " + audited + " readings in all";
    return new CampaignOutcome(books, truth, complaints, Optional.empty(), before);
  }

  private void audit(Path log, Map<String, BoardRecord> boards, List<Run> runs) throws Exception {
    Books.Evidence evidence =
        new Books.Evidence(
            boards, POLL_MS, chronicle, runs, List.of(), List.of(), Map.<String, Integer>of());
    Books books = Books.of(log, evidence);
    audited += books.stored();
    audits++;
    int run = runs.size();
    books
        .readingFaults()
        .forEach(fault -> complaints.add("before damage, run " + run + ": " + fault));
  }

  /** As the command line reads the log beside the program. */
  private void read(DaemonLife life, AlertTruth truth, long nowMs) throws Exception {
    if (chronicle.any(FaultFamily.DISK, nowMs - STEP_MS, nowMs)) {
      return;
    }
    try (LogFile file = LogFile.open(life.log(), OpenMode.READER)) {
      long shownMs = nowMs + life.aheadMs();
      StandingAsRead.of(file, shownMs, ZoneOffset.UTC)
          .forEach(alert -> truth.read("log", JsonText.of(alert.facts()), nowMs));
    }
  }
}
