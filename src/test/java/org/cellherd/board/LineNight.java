package org.cellherd.board;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.LineSettings;

/**
 * A board's line while the pack charges, the one rule of silence behind it, and what it told. The
 * clock is the line's own.
 */
class LineNight implements BoardListener {
  static final PackPlan PLAN =
      PackPlan.builder("pack-1", Chemistry.LFP, 4, 1, 100_000).chargeMv(14_200).build();

  private static final AlertSettings SILENT = silentAlone();

  final SimulatedTime time;
  final LinePoller poller;
  final PackAnalysis analysis = new PackAnalysis(PLAN, AnalysisSettings.of(PLAN), List.of());
  final AlertEngine engine;
  final List<AlertEvent> told = new ArrayList<>();
  final List<Long> heardMs = new ArrayList<>();
  final List<String> notes = new ArrayList<>();
  int gaps;

  /** True where the board is asked as fast as the program would. */
  boolean isAskedAsNeeded;

  private final long statedMs;

  LineNight(SimulatedTime time, Link wire, Dialogue dialogue, LineSettings line, long statedMs) {
    this.time = time;
    this.statedMs = statedMs;
    this.engine = new AlertEngine(PLAN, SILENT.withPollMs(statedMs));
    BoardOnLine onLine = new BoardOnLine("pack-1", dialogue, line, Duration.ofMillis(statedMs));
    Link link =
        new WrappedLink(wire) {
          @Override
          public boolean mayBeHalfOpen() {
            return true;
          }
        };
    this.poller = new LinePoller(link, List.of(onLine), LineClock.of(time), this);
    take(new SessionStart(time.wallMs(), 1, true, true));
  }

  private static AlertSettings silentAlone() {
    AlertSettings settings = Rules.defaults(PLAN);
    for (RuleSettings each : settings.all()) {
      settings = settings.with(each.withEnabled(each.rule().equals(Rules.id("silent"))));
    }
    return settings;
  }

  @Override
  public void heard(String pack, LogEntry entry) {
    if (entry instanceof Reading reading) {
      heardMs.add(reading.timeMs());
      take(Reading.at(reading.timeMs()).cells(reading.cells()).currentMa(5000).build());
      boolean isFast = isAskedAsNeeded && analysis.phase().isAskedFast();
      long pollMs = isFast ? Math.min(statedMs, AlertSettings.FASTEST_POLL_MS) : statedMs;
      poller.setPace("pack-1", Duration.ofMillis(pollMs));
    } else {
      gaps++;
      take(entry);
    }
  }

  private void take(LogEntry entry) {
    analysis.accept(entry);
    engine.onEntry(entry, analysis).stream()
        .filter(e -> e.alert().key().rule().equals(Rules.id("silent")))
        .forEach(told::add);
  }

  @Override
  public void note(String pack, String text) {
    notes.add(text);
  }

  @Override
  public void otherBoard(String pack, String before, String now) {}

  void runFor(long nanos) throws InterruptedException {
    long until = time.monotonicNanos() + nanos;
    while (time.monotonicNanos() < until) {
      poller.step();
    }
  }

  /** The third longest of the last 1024 waits for a reading, ms. */
  long paceMs() {
    List<Long> waits = new ArrayList<>();
    for (int i = Math.max(1, heardMs.size() - 1024); i < heardMs.size(); i++) {
      waits.add(heardMs.get(i) - heardMs.get(i - 1));
    }
    waits.sort(Comparator.reverseOrder());
    return waits.get(2);
  }

  List<AlertEvent> told(Change change) {
    return told.stream().filter(e -> e.change() == change).toList();
  }
}
