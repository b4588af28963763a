package org.cellherd.app.daemon;

import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.logged.FoundAgain;
import org.cellherd.pack.LogEntry;
import org.cellherd.store.LogWriter;

/**
 * Analysis and rules of one pack in step: what a running daemon, a replay and a test all do with an
 * entry. One thread.
 */
public final class PackWatch {

  private final PackConfig config;
  private final boolean isJudging;
  private PackAnalysis analysis;
  private AlertEngine alerts;

  public PackWatch(PackConfig config) {
    this(config, new PackAnalysis(config.plan(), config.analysis()), true);
  }

  private PackWatch(PackConfig config, PackAnalysis analysis, boolean isJudging) {
    this.config = config;
    this.isJudging = isJudging;
    this.analysis = analysis;
    this.alerts = new AlertEngine(config.plan(), config.alerts());
  }

  /** A watch that only analyses: nobody is to be told anything of what it sees. */
  static PackWatch withoutRules(PackConfig config) {
    return new PackWatch(config, new PackAnalysis(config.plan(), config.analysis()), false);
  }

  /** A watch of the same pack for what the restored analysis lacks: it judges nothing. */
  PackWatch ofLacking() {
    return new PackWatch(config, analysis.toTake(analysis.lacking()), false);
  }

  /** What it is for, in a sentence that goes on "by its latest day". */
  String subject() {
    return isJudging
        ? "judged"
        : String.join(", ", analysis.wanted().stream().map(FindingName::word).sorted().toList())
            + " known";
  }

  /** True when its rules see what it takes. */
  boolean isJudging() {
    return isJudging;
  }

  /** True when its state was restored without some folds. */
  boolean isLacking() {
    return !analysis.lacking().isEmpty();
  }

  /** Takes the next entry of a log that is read again, and says what changed. */
  List<AlertEvent> accept(LogEntry entry, FoundAgain found) {
    found.before(entry);
    List<AlertEvent> events = accept(entry);
    found.after();
    return events;
  }

  /** Stores what it found in a whole log, in place of what was found there before. */
  void saveAgain(LogWriter writer, FoundAgain found) {
    writer.saveAgain(id(), found.names(), found.all());
  }

  /** Takes the next entry and says what changed. */
  public List<AlertEvent> accept(LogEntry entry) {
    analysis.accept(entry);
    return isJudging ? alerts.onEntry(entry, analysis) : List.of();
  }

  void reset() {
    analysis = new PackAnalysis(config.plan(), config.analysis());
    alerts = new AlertEngine(config.plan(), config.alerts());
  }

  /** Goes on as another watch of the same pack, which knows more; true when its rules are new. */
  boolean become(PackWatch other) {
    if (other.isJudging) {
      analysis = other.analysis;
      alerts = other.alerts;
    } else {
      analysis.take(other.analysis);
    }
    return other.isJudging;
  }

  public String id() {
    return config.plan().id();
  }

  public PackConfig config() {
    return config;
  }

  public PackAnalysis analysis() {
    return analysis;
  }

  public AlertEngine alerts() {
    return alerts;
  }
}
