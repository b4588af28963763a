package org.cellherd.analysis.balance;

import java.util.ArrayList;
import java.util.List;
import java.util.function.Consumer;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.PackAnalysis;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.rig.SimulatedRig;
import org.cellherd.toml.Problems;

/** Runs a scenario's first pack through the analyses and lets a test look in between. */
final class SimulatedNight {
  private final Scenario scenario;
  final PackPlan plan;
  final PackAnalysis analysis;
  final SimulatedRig rig;
  long stepMs = 1000;
  boolean isDone;
  final List<Finding> completed = new ArrayList<>();

  SimulatedNight(Scenario scenario) {
    this.scenario = scenario;
    this.plan = scenario.plans().get(0);
    this.analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    this.rig = scenario.rig();
  }

  static Scenario read(String text) {
    Problems problems = new Problems();
    return Scenario.read("test.toml", text, problems)
        .orElseThrow(() -> new IllegalArgumentException(problems.toString()));
  }

  /** Runs to the end and shows the night to a test every so often. */
  void run(long everyMs, Consumer<SimulatedNight> look) {
    long next = scenario.startMs() + everyMs;
    for (long t = scenario.startMs(); t <= scenario.endMs() && !isDone; t += stepMs) {
      rig.stepTo(t);
      if (rig.isAwake(0)) {
        Reading reading = rig.measured();
        analysis.accept(reading);
        completed.addAll(analysis.completed());
      }
      if (t >= next) {
        look.accept(this);
        next += everyMs;
      }
    }
  }

  double hours() {
    return (rig.nowMs() - scenario.startMs()) / 3_600_000.0;
  }

  BalanceView view() {
    return analysis.balance();
  }
}
