package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Stream;
import org.cellherd.alert.AlertEvent;
import org.cellherd.app.SystemTime;
import org.cellherd.app.campaign.books.Run;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.app.daemon.Herald;
import org.cellherd.board.LoopbackLink;
import org.cellherd.mqtt.MqttListener;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Specs;

/**
 * The daemon's own classes on a driven clock, in this process. The files that a killed run leaves
 * are those of the moment of its death. One thread.
 */
public final class DaemonLife implements Life, Herald, AutoCloseable {

  private final Path folder;
  private final SimulatedTime time;
  private final RunClock clock;
  private final RoughWire wire;
  private final BrokenPath path;
  private final Random random;
  private final List<Run> runs = new ArrayList<>();
  private final List<String> told = new ArrayList<>();
  private final Printed printed = new Printed();
  private Path place;
  private Optional<Daemon> daemon = Optional.empty();
  private double deadZoneA = 0.1;
  private long startedMs;

  /** Nobody runs yet. */
  public DaemonLife(
      Path folder, DrivenClock clock, SimulatedTime time, RoughWire wire, BrokenPath path)
      throws IOException {
    this.folder = folder;
    this.clock = clock;
    this.time = time;
    this.wire = wire;
    this.path = path;
    this.random = new Random(wire.seed());
    this.place = Files.createDirectory(folder.resolve("run0"));
  }

  @Override
  public void event(AlertEvent event) {
    told.add(event.id());
  }

  /** Ids of all events, in the order in which they were told. */
  public List<String> told() {
    return List.copyOf(told);
  }

  /** All lives that have ended. */
  public List<Run> runs() {
    return List.copyOf(runs);
  }

  /** The log. */
  public Path log() {
    return place.resolve("log.db");
  }

  /** Starts a run. */
  public void start() throws IOException {
    startedMs = clock.trueMs();
    Path file = Files.writeString(folder.resolve("cellherd.toml"), config());
    Daemon.Parts parts =
        new Daemon.Parts(
            time,
            new SystemTime(),
            spec -> Specs.find(spec).orElseThrow(),
            line -> new LoopbackLink("loopback", wire, time),
            List.of(this),
            MqttListener.NONE);
    daemon = Optional.of(Daemon.open(ConfigFiles.load(Optional.of(file)), parts));
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

  /** Lets it work for so long. */
  public void work(long ms) throws InterruptedException {
    new FastForward(daemon.orElseThrow(), time)
        .runUntil(time.monotonicNanos() + ms * 1_000_000, () -> {});
  }

  @Override
  public void changePlan() {
    deadZoneA = deadZoneA < 0.11 ? 0.12 : 0.1;
  }

  @Override
  public void restart(boolean isKilled, boolean isDamaging, FileWork between) throws Exception {
    end(isKilled, isDamaging);
    between.strike(log(), random);
    time.advanceMs(1_000 + random.nextInt(600_000));
    start();
  }

  /** Ends a run. */
  public void end(boolean isKilled, boolean isDamaging) throws IOException {
    long endedMs = clock.trueMs();
    Path next = Files.createDirectory(folder.resolve("run" + (runs.size() + 1)));
    if (isKilled) {
      copy(place, next);
    }
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
