package org.cellherd;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.BankEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.sim.Fault.Kind.Place;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;
import org.cellherd.sim.TrueCourse;
import org.cellherd.sim.Truth;

/**
 * One scenario's packs, listened to, analysed and judged, with the truth at hand for comparison.
 * Boards are heard without a line, unless something happens to the line or to the listener. Packs
 * on one bus are judged as a bank too.
 */
public final class SimulatedRun {
  private static final Set<Place> NEED_A_LINE = Set.of(Place.LINE, Place.MONITOR);

  private final Scenario scenario;
  private final SimulatedRig rig;
  private final Hearing hearing;
  private final List<WatchedPack> packs = new ArrayList<>();
  private final List<TrueCourse> courses = new ArrayList<>();
  private final List<AlertEvent> events = new ArrayList<>();
  private Optional<BankEngine> bank = Optional.empty();
  private long entries;
  private boolean isDone;

  /**
   * A run that has not begun.
   *
   * @param isJudged false leaves the alerts out
   */
  public SimulatedRun(Scenario scenario, boolean isJudged) {
    this.scenario = scenario;
    rig = scenario.rig();
    List<PackPlan> plans = scenario.plans();
    for (PackPlan plan : plans) {
      AlertSettings alerts = Rules.defaults(plan).withPollMs(scenario.pollMs());
      courses.add(new TrueCourse(rig, packs.size()));
      packs.add(new WatchedPack(plan, alerts, isJudged));
      if (bank.isEmpty() && isJudged && plans.size() > 1) {
        bank = Optional.of(new BankEngine("bank", plans, alerts));
      }
    }
    boolean hasLine =
        scenario.faults().stream().anyMatch(f -> NEED_A_LINE.contains(f.kind().place()));
    hearing =
        hasLine
            ? new LineHearing(scenario, rig, this::feed)
            : new DirectHearing(scenario, rig, this::feed);
  }

  /** Runs to the end. */
  public SimulatedRun run() {
    return run(Long.MAX_VALUE, r -> {});
  }

  /** Runs to the end and lets a test look in every so often. */
  public SimulatedRun run(long everyMs, Consumer<SimulatedRun> look) {
    long next = everyMs == Long.MAX_VALUE ? Long.MAX_VALUE : scenario.startMs() + everyMs;
    for (long t = scenario.startMs(); t <= scenario.endMs() && !isDone; t += scenario.pollMs()) {
      hearing.goOn(t);
      if (t >= next) {
        look.accept(this);
        next += everyMs;
      }
    }
    return this;
  }

  private void feed(int index, LogEntry entry) {
    entries++;
    WatchedPack pack = packs.get(index);
    events.addAll(pack.accept(entry));
    bank.ifPresent(b -> events.addAll(b.onEntry(pack.plan().id(), entry, pack.analysis())));
  }

  /** Ends the run early. */
  public void stop() {
    isDone = true;
  }

  /** Hours since the beginning, by the true time. */
  public double hours() {
    return (rig.nowMs() - scenario.startMs()) / 3_600_000.0;
  }

  /** The scenario with its seed. */
  public Scenario scenario() {
    return scenario;
  }

  /** How many packs there are. */
  public int count() {
    return packs.size();
  }

  /** The first pack's plan. */
  public PackPlan plan() {
    return packs.get(0).plan();
  }

  /** What really happened in the first pack so far. */
  public TrueCourse course() {
    return courses.get(0);
  }

  /** What is really so in the first pack, now. */
  public Truth truth() {
    return Truth.of(rig);
  }

  /** What really happened in the pack of an id so far. */
  public TrueCourse course(String pack) {
    return courses.get(scenario.plans().stream().map(PackPlan::id).toList().indexOf(pack));
  }

  /** What the analyses know of the first pack. */
  public PackAnalysis analysis() {
    return packs.get(0).analysis();
  }

  /** All that was told. */
  public List<AlertEvent> events() {
    return List.copyOf(events);
  }

  /** Active alerts of all packs as they read now. */
  List<Alert> alerts() {
    return packs.stream().flatMap(pack -> pack.alerts().stream()).toList();
  }

  /** Completed findings of a name, of the first pack. */
  public List<Finding> completed(FindingName name) {
    return packs.get(0).completed().stream().filter(f -> f.name() == name).toList();
  }

  /** The standing finding of a name, of the first pack. */
  public Optional<Finding> standing(FindingName name) {
    return analysis().standing().stream().filter(f -> f.name() == name).findFirst();
  }

  /** Readings and other entries so far, of all packs. */
  public long entries() {
    return entries;
  }
}
