package org.cellherd;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.cellherd.alert.AlertEngine;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.PackAnalysis;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.SessionStart;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.rig.SimulatedRig;
import org.cellherd.sim.rig.Truth;

/**
 * One scenario's first pack, listened to without a line: what the board prints goes straight into
 * analyses and alerts, and the truth stays at hand for comparison.
 */
public final class SimulatedRun {
  private static final long GAP_EACH_MS = 60_000;

  private final Scenario scenario;
  private final PackPlan plan;
  private final SimulatedRig rig;
  private final PackAnalysis analysis;
  private final AlertEngine engine;
  private final boolean isJudged;
  private final List<Finding> completed = new ArrayList<>();
  private final List<AlertEvent> events = new ArrayList<>();
  private long lastHeardMs;
  private long entries;

  /**
   * A run that has not begun.
   *
   * @param isJudged false leaves the alerts out
   */
  public SimulatedRun(Scenario scenario, boolean isJudged) {
    this.scenario = scenario;
    this.isJudged = isJudged;
    plan = scenario.plans().get(0);
    rig = scenario.rig();
    analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    engine = new AlertEngine(plan, AlertSettings.defaults(plan).withPollMs(scenario.pollMs()));
    lastHeardMs = scenario.startMs();
  }

  /** Runs to the end. */
  public SimulatedRun run() {
    return run(Long.MAX_VALUE, r -> {});
  }

  /** Runs to the end and lets a test look in every so often. */
  public SimulatedRun run(long everyMs, Consumer<SimulatedRun> look) {
    feed(new SessionStart(scenario.startMs(), 1, true, true));
    long next = everyMs == Long.MAX_VALUE ? Long.MAX_VALUE : scenario.startMs() + everyMs;
    for (long t = scenario.startMs(); t <= scenario.endMs(); t += scenario.pollMs()) {
      rig.stepTo(t);
      if (rig.isAwake(0)) {
        feed(rig.measured().atTime(t));
        lastHeardMs = t;
      } else if ((t - lastHeardMs) % GAP_EACH_MS < scenario.pollMs()) {
        feed(new Gap(lastHeardMs, t, Gap.Cause.NO_BYTES));
      }
      if (t >= next) {
        look.accept(this);
        next += everyMs;
      }
    }
    return this;
  }

  private void feed(LogEntry entry) {
    entries++;
    analysis.accept(entry);
    completed.addAll(analysis.completed());
    if (isJudged) {
      events.addAll(engine.onEntry(entry, analysis));
    }
  }

  /** The scenario with its seed. */
  public Scenario scenario() {
    return scenario;
  }

  /** The pack's plan. */
  public PackPlan plan() {
    return plan;
  }

  /** What is really so, now. */
  public Truth truth() {
    return rig.truth();
  }

  /** What the analyses know. */
  public PackAnalysis analysis() {
    return analysis;
  }

  /** All that was told. */
  public List<AlertEvent> events() {
    return List.copyOf(events);
  }

  /** Completed findings of a name. */
  public List<Finding> completed(FindingName name) {
    return completed.stream().filter(f -> f.name() == name).toList();
  }

  /** The standing finding of a name. */
  public java.util.Optional<Finding> standing(FindingName name) {
    return analysis.standing().stream().filter(f -> f.name() == name).findFirst();
  }

  /** Readings and other entries so far. */
  public long entries() {
    return entries;
  }
}
