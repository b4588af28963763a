package org.cellherd.app.verb;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Refold;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.sim.Fault;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;
import org.cellherd.store.Importer;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.sql.OpenMode;
import org.cellherd.store.sql.StoreSettings;

/**
 * A scenario as a log that could have been watched: what its boards measured and the alerts that
 * this gives, in a new file, with the plan of its packs beside it. While nothing is heard it holds
 * nothing; faults that spoil single bytes are left out, which only a watched board has.
 */
final class SimulatedLog {

  /** While one of these goes on nobody hears the board. */
  private static final Set<Fault.Kind> DEAF =
      Set.of(Fault.Kind.UNPLUGGED, Fault.Kind.SILENT, Fault.Kind.BROWN_OUT);

  private final Scenario scenario;
  private final Path log;
  private final Path plan;

  SimulatedLog(Scenario scenario, Path log) {
    this.scenario = scenario;
    this.log = log;
    String name = String.valueOf(log.getFileName());
    this.plan = log.resolveSibling(name.replaceAll("\\.[^.]*$", "") + ".toml");
  }

  Path plan() {
    return plan;
  }

  /** Plays it; how many readings were stored. */
  long write() throws StorageFailure {
    LogOptions.refuseTaken(log);
    WholeFile.refuseTaken(plan);
    List<Path> made =
        Stream.of("", "-wal", "-shm", "-tail", ".lock")
            .map(end -> log.resolveSibling(log.getFileName() + end))
            .filter(Files::notExists)
            .toList();
    boolean isWhole = false;
    try (LogFile file = LogFile.open(log, OpenMode.WRITER, StoreSettings.DEFAULT)) {
      long stored = 0;
      List<PackPlan> plans = scenario.plans();
      for (int i = 0; i < plans.size(); i++) {
        stored += play(file, plans.get(i), i);
      }
      WholeFile.write(plan, planText(plans));
      isWhole = true;
      return stored;
    } finally {
      if (!isWhole) {
        made.forEach(file -> file.toFile().delete());
      }
    }
  }

  private long play(LogFile file, PackPlan pack, int number) throws StorageFailure {
    SimulatedRig rig = scenario.rig();
    List<Fault> deaf = scenario.faults().stream().filter(f -> DEAF.contains(f.kind())).toList();
    Refold fold =
        Refold.ofNew(file, PackConfig.of(pack, scenario.zone()), true)
            .orElseThrow(() -> new IllegalStateException("a pack twice: " + pack.id()));
    long stored;
    try (Importer importer = file.importer(pack.id())) {
      for (long t = scenario.startMs(); t <= scenario.endMs(); t += scenario.pollMs()) {
        rig.stepTo(t);
        long now = t;
        if (rig.isAwake(number) && deaf.stream().noneMatch(fault -> fault.covers(now))) {
          Reading measured = rig.measured(number).atTime(t);
          if (importer.add(measured)) {
            fold.take(measured);
          }
        }
      }
      stored = importer.counts().stored();
    }
    fold.store();
    String text =
        "SIMULATED: scenario \"%s\", seed %s. No real pack was measured."
            .formatted(scenario.title(), scenario.seed());
    file.remarks().add(new Note(pack.id(), scenario.startMs(), "cellherd simulate", text));
    return stored;
  }

  private String planText(List<PackPlan> plans) {
    StringBuilder text = new StringBuilder("# Invented packs of a simulated log.\n");
    text.append("zone = \"").append(scenario.zone()).append("\"\n\n");
    plans.forEach(p -> text.append(PlanText.of(p)).append('\n'));
    return text.toString();
  }
}
