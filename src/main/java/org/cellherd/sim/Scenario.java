package org.cellherd.sim;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.PackPlan;
import org.cellherd.toml.Problems;
import org.cellherd.toml.TomlDocument;
import org.cellherd.toml.TomlTable;

/**
 * A scenario with a seed: all runs of it are alike to the last byte. Immutable; any thread, but
 * each {@link #rig} belongs to one.
 */
public final class Scenario {

  private static final double HOUR_MS = 3_600_000;

  private final String title;
  private final String story;
  private final String family;
  private final long seed;
  private final long startMs;
  private final long endMs;
  private final long stepMs;
  private final long pollMs;
  private final ZoneOffset zone;
  private final List<PackSection> packs;
  private final SupplySection supply;
  private final List<FaultSection> faults;

  private Scenario(TomlTable top) {
    title = top.text("title");
    story = top.text("story", "");
    family = top.text("family", "");
    seed = top.longInteger("seed", 0, Long.MAX_VALUE, 1);
    startMs = top.timeMs("start");
    endMs = startMs + Math.round(top.decimal("hours", 0.01, 100_000) * HOUR_MS);
    stepMs = Math.round(top.decimal("step_s", 0.05, 10, 1) * 1000);
    pollMs = Math.round(top.decimal("poll_s", 0.1, 3600, 1) * 1000);
    double utcOffsetH = top.decimal("utc_offset_h", -14, 14, 0);
    zone = ZoneOffset.ofTotalSeconds((int) Math.round(utcOffsetH * 60) * 60);
    packs = PackSection.readAll(top);
    supply = SupplySection.read(top, startMs, utcOffsetH);
    faults = FaultSection.readAll(top, packs);
  }

  private Scenario(Scenario other, long seed) {
    this.title = other.title;
    this.story = other.story;
    this.family = other.family;
    this.seed = seed;
    this.startMs = other.startMs;
    this.endMs = other.endMs;
    this.stepMs = other.stepMs;
    this.pollMs = other.pollMs;
    this.zone = other.zone;
    this.packs = other.packs;
    this.supply = other.supply;
    this.faults = other.faults;
  }

  /** Reads a file's text; empty when the problems say what is wrong. */
  public static Optional<Scenario> read(String fileName, String text, Problems problems) {
    int before = problems.count();
    Optional<Scenario> file =
        TomlDocument.parse(fileName, text, problems)
            .map(
                top -> {
                  Scenario read = new Scenario(top);
                  top.finish();
                  return read;
                });
    return problems.count() > before ? Optional.empty() : file;
  }

  /** The same with another seed. */
  public Scenario withSeed(long otherSeed) {
    return new Scenario(this, otherSeed);
  }

  public SimulatedRig rig() {
    Chance chance = new Chance(seed);
    Ambient ambient = supply.buildAmbient(chance);
    List<PackModel> models = new ArrayList<>();
    List<PackPlan> plans = plans();
    for (int i = 0; i < packs.size(); i++) {
      models.add(packs.get(i).build(plans.get(i), ambient.celsius(startMs), chance));
    }
    return new SimulatedRig(
        new RigParts(
            startMs,
            stepMs,
            models,
            supply.buildCharger(chance),
            supply.buildLoads(chance),
            ambient,
            faults().stream().flatMap(f -> PackFault.of(f, chance).stream()).toList()));
  }

  public List<Fault> faults() {
    Chance chance = new Chance(seed).of("fault");
    List<Fault> drawn = new ArrayList<>();
    for (int i = 0; i < faults.size(); i++) {
      drawn.add(faults.get(i).draw(startMs, chance.of(Integer.toString(i))));
    }
    return drawn;
  }

  /** The packs as their builder would write them into a config, in the order of the file. */
  public List<PackPlan> plans() {
    return packs.stream().map(p -> p.plan(supply.chargeMv(), supply.chargerMa())).toList();
  }

  List<PackSection> sections() {
    return packs;
  }

  /** The zone by whose clock the story is told; fixed, without summer time. */
  public ZoneOffset zone() {
    return zone;
  }

  /** One line. */
  public String title() {
    return title;
  }

  /** Some sentences. */
  public String story() {
    return story;
  }

  /** What it is one of, for benchmarks; "" when the file says nothing. */
  public String family() {
    return family;
  }

  public long seed() {
    return seed;
  }

  /** Beginning, ms UTC. */
  public long startMs() {
    return startMs;
  }

  /** End, ms UTC. */
  public long endMs() {
    return endMs;
  }

  /** How often a listener should ask, ms. */
  public long pollMs() {
    return pollMs;
  }
}
