package org.cellherd;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/** Analyses and rules of one pack of a {@link SimulatedRun}, and what they said. */
final class WatchedPack {
  private final PackPlan plan;
  private final PackAnalysis analysis;
  private final AlertEngine engine;
  private final boolean isJudged;
  private final List<Finding> completed = new ArrayList<>();
  private final HeardWhole heardWhole;

  WatchedPack(PackPlan plan, AlertSettings alerts, boolean isJudged) {
    this.plan = plan;
    this.isJudged = isJudged;
    analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    engine = new AlertEngine(plan, alerts);
    heardWhole = new HeardWhole(plan, alerts.pollMs());
  }

  List<AlertEvent> accept(LogEntry entry) {
    analysis.accept(entry);
    completed.addAll(analysis.completed());
    if (!isJudged) {
      return List.of();
    }
    List<AlertEvent> events = engine.onEntry(entry, analysis);
    heardWhole.look(entry, engine);
    return events;
  }

  /** Active alerts as they read now. */
  List<Alert> alerts() {
    return engine.standing();
  }

  PackPlan plan() {
    return plan;
  }

  PackAnalysis analysis() {
    return analysis;
  }

  HeardWhole heardWhole() {
    return heardWhole;
  }

  List<Finding> completed() {
    return completed;
  }
}
