package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import java.util.function.Consumer;
import java.util.stream.Stream;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.app.SystemTime;
import org.cellherd.app.campaign.books.Run;
import org.cellherd.app.campaign.books.Vanished;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.board.LoopbackLink;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;

/**
 * The daemon's own classes on a driven clock, in this process. The files that a killed run leaves
 * are those of the moment of its death. One thread.
 */
public final class DaemonLife implements Life, Sink, AutoCloseable {

  private static final long TICK_MS = 1_000;

  private final Path folder;
  private final SimulatedTime time;
  private final RunClock clock;
  private final RoughWire wire;
  private final BrokenPath path;
  private final Card card;
  private final Random random;
  private final List<Run> runs = new ArrayList<>();
  private final List<Vanished> vanished = new ArrayList<>();
  private final Deliveries deliveries;
  private final Printed printed = new Printed();
  private Path place;
  private Optional<Daemon> daemon = Optional.empty();
  private double deadZoneA = 0.1;
  private long startedMs;
  private Auditor auditor = (log, past) -> {};

  /** Balances the books before files are harmed: afterwards nobody could tell what was in them. */
  @FunctionalInterface
  public interface Auditor {
    /** Looks at a log after some runs, of which the last has harmed nothing yet. */
    void audit(Path log, List<Run> runs) throws Exception;
  }

  /** Where it lives and what it reaches. */
  public record Place(Path folder, Card card, RoughWire wire, BrokenPath path) {}

  /** Nobody runs yet. */
  public DaemonLife(Place where, DrivenClock clock, SimulatedTime time, Consumer<String> complaints)
      throws IOException {
    this.folder = where.folder;
    this.clock = clock;
    this.time = time;
    this.wire = where.wire;
    this.path = where.path;
    this.card = where.card;
    this.deliveries = new Deliveries(path, complaints);
    this.random = new Random(wire.seed());
    this.place = Files.createDirectory(folder.resolve("run0"));
  }

  @Override
  public void event(AlertEvent event) {
    deliveries.tell(event.id());
  }

  /** Ids of all events, in the order in which they were told. */
  public List<String> told() {
    return List.copyOf(deliveries.told());
  }

  /** Events that were told and that a later run did not find in its log. */
  public List<Vanished> vanished() {
    return List.copyOf(vanished);
  }

  /** All lives that have ended. */
  public List<Run> runs() {
    return List.copyOf(runs);
  }

  /** By how much the clock that everybody sees is ahead of the truth, ms. */
  public long aheadMs() {
    return clock.aheadMs();
  }

  /** The log. */
  public Path log() {
    return place.resolve("log.db");
  }

  /** Starts a run. */
  public void start() throws Exception {
    Set<String> before = deliveries.told();
    startedMs = clock.trueMs();
    Path file = Files.writeString(folder.resolve("cellherd.toml"), config());
    Daemon.Parts parts =
        new Daemon.Parts(
            time,
            new SystemTime(),
            spec -> Specs.find(spec).orElseThrow(),
            line -> new LoopbackLink("loopback", wire, time),
            List.of(this),
            deliveries);
    deliveries.begin();
    Daemon opened = Daemon.open(ConfigFiles.load(Optional.of(file)), parts);
    daemon = Optional.of(opened);
    new FastForward(opened, time).awaitWholeLog();
    missing(before);
    deliveries.catchUp(log(), !card.isFull());
  }

  private void missing(Set<String> ids) throws StorageFailure {
    try (LogFile file = LogFile.open(log(), OpenMode.READER)) {
      file.events(Long.MIN_VALUE, Long.MAX_VALUE).forEach(s -> ids.remove(s.event().id()));
    }
    vanished.forEach(v -> ids.remove(v.event()));
    ids.forEach(id -> vanished.add(new Vanished(id, runs.size() - 1)));
    deliveries.giveUp(ids);
  }

  private String config() {
    return """
    site = "bench"
    zone = "UTC"
    [store]
    file = "%s"
    [mqtt]
    url = "mqtt://127.0.0.1:%d"
    %s[pack.line]
    spec = "%s"
    link = "tcp:127.0.0.1:1"
    poll_s = 5
    [pack.analysis]
    dead_zone_a = %s
    """
        .formatted(
            log(),
            path.port(),
            PlanText.of(wire.board().plan()),
            wire.board().spec(),
            Double.toString(deadZoneA));
  }

  /** Lets it work for so long; it looks at the clock before it polls, as it does each second. */
  public void work(long ms) throws InterruptedException {
    FastForward driven = new FastForward(daemon.orElseThrow(), time);
    driven.rest(TICK_MS);
    driven.runUntil(
        time.monotonicNanos() + (ms - TICK_MS) * 1_000_000,
        () -> deliveries.catchUp(log(), !card.isFull()));
  }

  @Override
  public void changePlan() {
    deadZoneA = deadZoneA < 0.11 ? 0.12 : 0.1;
  }

  @Override
  public void restart(boolean isKilled, boolean isDamaging, FileWork between) throws Exception {
    end(isKilled, isDamaging);
    if (isDamaging) {
      audit();
    }
    between.strike(log(), random);
    time.advanceMs(1_000 + random.nextInt(600_000));
    start();
  }

  /** Looks at a copy: whoever reads the files themselves might change them. */
  private void audit() throws Exception {
    Path copy = Files.createDirectory(folder.resolve("audit"));
    copy(place, copy);
    List<Run> soFar = new ArrayList<>(runs);
    Run last = soFar.remove(soFar.size() - 1);
    soFar.add(new Run(last.fromMs(), last.toMs(), last.wasKilled(), false, last.text()));
    auditor.audit(copy.resolve("log.db"), soFar);
    erase(copy);
  }

  /** Who looks at the log before it is harmed. */
  public void auditedBy(Auditor next) {
    auditor = next;
  }

  /** Ends a run. */
  public void end(boolean isKilled, boolean isDamaging) throws IOException {
    long endedMs = clock.trueMs();
    Path next = Files.createDirectory(folder.resolve("run" + (runs.size() + 1)));
    if (isKilled) {
      copy(place, next);
    }
    deliveries.hold(false);
    daemon.ifPresent(Daemon::close);
    if (!isKilled) {
      copy(place, next);
    }
    erase(place);
    place = next;
    runs.add(new Run(startedMs, endedMs, isKilled, isDamaging, printed.take()));
  }

  private static void copy(Path from, Path to) throws IOException {
    try (Stream<Path> files = Files.list(from)) {
      for (Path file : files.filter(Files::isRegularFile).toList()) {
        if (!file.getFileName().toString().contains("damaged")) {
          Files.copy(file, to.resolve(file.getFileName()));
        }
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

  @Override
  public void close() {
    printed.close();
  }
}
