package org.cellherd.sim;

import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.PackPlan;
import org.cellherd.toml.Problems;

/**
 * A scenario with a seed: all runs of it are alike to the last byte. Immutable; any thread, but
 * each {@link #rig} belongs to one.
 */
public final class Scenario {

  private final ScenarioFile file;
  private final long seed;

  private Scenario(ScenarioFile file, long seed) {
    this.file = file;
    this.seed = seed;
  }

  /** Reads a file's text; empty when the problems say what is wrong. */
  public static Optional<Scenario> read(String fileName, String text, Problems problems) {
    return ScenarioFile.read(fileName, text, problems).map(f -> new Scenario(f, f.seed()));
  }

  /** The same with another seed. */
  public Scenario withSeed(long otherSeed) {
    return new Scenario(file, otherSeed);
  }

  /** A new rig at the beginning. */
  public SimulatedRig rig() {
    return file.rig(seed);
  }

  /** The packs as their builder would write them into a config, in the order of the file. */
  public List<PackPlan> plans() {
    return file.plans();
  }

  /** What goes wrong in this run. */
  public List<Fault> faults() {
    return file.faults(seed);
  }

  /** What happens to the listening computer; the runner carries it out. */
  public List<MonitorEvent> monitorEvents() {
    return faults().stream()
        .filter(f -> f.kind() == FaultKind.BROWN_OUT)
        .map(MonitorEvent::of)
        .toList();
  }

  /** The zone by whose clock the story is told; fixed, without summer time. */
  public ZoneOffset zone() {
    return file.zone();
  }

  /** One line. */
  public String title() {
    return file.title();
  }

  /** Some sentences. */
  public String story() {
    return file.story();
  }

  /** What it is one of, for benchmarks; "" when the file says nothing. */
  public String family() {
    return file.family();
  }

  /** The seed. */
  public long seed() {
    return seed;
  }

  /** Beginning, ms UTC. */
  public long startMs() {
    return file.startMs();
  }

  /** End, ms UTC. */
  public long endMs() {
    return file.endMs();
  }

  /** How often a listener should ask, ms. */
  public long pollMs() {
    return file.pollMs();
  }

  ScenarioFile file() {
    return file;
  }
}
