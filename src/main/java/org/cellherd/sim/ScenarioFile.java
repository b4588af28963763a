package org.cellherd.sim;

import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.PackPlan;
import org.cellherd.toml.Problems;
import org.cellherd.toml.TomlDocument;
import org.cellherd.toml.TomlTable;

/** A whole scenario file. Immutable once read. */
final class ScenarioFile {

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

  private ScenarioFile(TomlTable top) {
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

  /** Reads a file's text; empty when the problems say what is wrong. */
  public static Optional<ScenarioFile> read(String fileName, String text, Problems problems) {
    int before = problems.count();
    Optional<ScenarioFile> file =
        TomlDocument.parse(fileName, text, problems)
            .map(
                top -> {
                  ScenarioFile read = new ScenarioFile(top);
                  top.finish();
                  return read;
                });
    return problems.count() > before ? Optional.empty() : file;
  }

  /** A rig at its beginning, with the chance of a seed. */
  public SimulatedRig rig(long ownSeed) {
    Chance chance = new Chance(ownSeed);
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
            faults(ownSeed).stream().flatMap(f -> f.onPack(chance).stream()).toList()));
  }

  /** The faults of a run with a seed. */
  public List<Fault> faults(long ownSeed) {
    Chance chance = new Chance(ownSeed).of("fault");
    List<Fault> drawn = new ArrayList<>();
    for (int i = 0; i < faults.size(); i++) {
      drawn.add(faults.get(i).draw(startMs, chance.of(Integer.toString(i))));
    }
    return drawn;
  }

  /** The packs as their builder would write them down. */
  public List<PackPlan> plans() {
    return packs.stream().map(p -> p.plan(supply.chargeMv(), supply.chargerMa())).toList();
  }

  /** The pack sections. */
  public List<PackSection> packs() {
    return packs;
  }

  /** Its fixed zone. */
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

  /** What it is one of, for benchmarks. */
  public String family() {
    return family;
  }

  /** The file's own seed. */
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
