package org.cellherd.page;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import org.cellherd.Figures;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.news.PackState;
import org.cellherd.alert.news.PackSummary;
import org.cellherd.alert.rule.Rules;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.NowSentence;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.mqtt.ReadingFacts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.plot.Tracks;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedRig;

/** A simulated pack, judged as the daemon judges it, and its log in memory. */
final class PlayedPack {

  private final Scenario scenario;
  private final PackPlan plan;
  private final SimulatedRig rig;
  private final PackAnalysis analysis;
  private final AlertEngine engine;
  private final List<LogEntry> log = new ArrayList<>();
  private final List<AlertEvent> events = new ArrayList<>();
  private long nowMs;
  private long heardMs;

  PlayedPack(String name) {
    this(Scenarios.open(name));
  }

  PlayedPack(Scenario scenario) {
    this.scenario = scenario;
    plan = scenario.plans().get(0);
    rig = scenario.rig();
    analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    engine = new AlertEngine(plan, Rules.defaults(plan).withPollMs(scenario.pollMs()));
    nowMs = scenario.startMs();
    heardMs = nowMs;
    take(new SessionStart(nowMs, 1, true, true));
  }

  /** Plays on for so many minutes, or until the first critical alert when asked. */
  PlayedPack play(int minutes, boolean untilCritical) {
    long end = Math.min(scenario.endMs(), nowMs + minutes * 60_000L);
    while (nowMs < end && !(untilCritical && isCritical())) {
      nowMs += scenario.pollMs();
      rig.stepTo(nowMs);
      if (rig.isAwake(0)) {
        take(rig.measured().atTime(nowMs));
        heardMs = nowMs;
      } else if ((nowMs - heardMs) % 60_000 < scenario.pollMs()) {
        take(new Gap(heardMs, nowMs, Gap.Cause.NO_BYTES));
      }
    }
    return this;
  }

  /** The board says nothing for so many minutes. */
  PlayedPack fallSilent(int minutes) {
    for (int minute = 0; minute < minutes; minute++) {
      nowMs += 60_000;
      take(new Gap(heardMs, nowMs, Gap.Cause.NO_BYTES));
    }
    return this;
  }

  private boolean isCritical() {
    return events.stream().anyMatch(e -> e.alert().priority().word().equals("critical"));
  }

  private void take(LogEntry entry) {
    analysis.accept(entry);
    events.addAll(engine.onEntry(entry, analysis));
    log.add(entry);
  }

  PackPlan plan() {
    return plan;
  }

  Scenario scenario() {
    return scenario;
  }

  Reading reading() {
    return analysis.reading().orElseThrow();
  }

  /** A cell's newest voltage, mV. */
  double mv(int cell) {
    return reading().cells().mv(cell);
  }

  /** A cell's highest or lowest voltage since a time, mV. */
  double extremeMv(int cell, long sinceMs, boolean isHigh) {
    return log.stream()
        .filter(entry -> entry instanceof Reading r && r.timeMs() >= sinceMs && r.cells().has(cell))
        .mapToDouble(entry -> ((Reading) entry).cells().mv(cell))
        .reduce(isHigh ? Math::max : Math::min)
        .orElseThrow();
  }

  long nowMs() {
    return nowMs;
  }

  List<AlertEvent> events() {
    return events;
  }

  AlertEngine engine() {
    return engine;
  }

  /** What the broker is told of now in numbers: summary, findings, evidence and the reading. */
  Figures published() {
    Figures figures = new Figures(nowMs).and(summary().facts());
    analysis.standing().forEach(finding -> figures.and(finding.facts()));
    engine.standing().forEach(alert -> figures.and(alert.evidence()));
    return figures.and(ReadingFacts.of(reading(), 1));
  }

  PackSummary summary() {
    return PackSummary.of(analysis, engine.standing(), NowSentence.of(analysis), Optional.empty());
  }

  /** Tells a page all that a daemon would have told by now. */
  void tell(LiveBoard page) {
    log.stream()
        .filter(Reading.class::isInstance)
        .map(Reading.class::cast)
        .forEach(r -> page.reading(plan.id(), r));
    page.state(plan.id(), new PackState(PackState.Word.LIVE, scenario.startMs(), ""));
    events.forEach(page::event);
    engine.standing().forEach(page::standing);
    page.summary(plan.id(), summary());
  }

  /** The log in memory. */
  PackHistory.Stretch read(long fromMs, long toMs) {
    Tracks tracks = new Tracks(fromMs, toMs);
    List<Gap> gaps = new ArrayList<>();
    for (LogEntry entry : log) {
      if (entry instanceof Reading reading) {
        tracks.add(reading);
      } else if (entry instanceof Gap gap) {
        gaps.add(gap);
      }
    }
    return new PackHistory.Stretch(
        tracks,
        gaps,
        AlertSpan.of(events, engine.standing()),
        List.of(),
        OptionalLong.of(scenario.startMs()),
        "");
  }
}
