package org.cellherd.app.daemon;

import java.util.List;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.LogEntry;

/**
 * Analysis and rules of one pack in step: what a running daemon, a replay and a test all do with an
 * entry. One thread.
 */
public final class PackWatch {

  private final PackConfig config;
  private PackAnalysis analysis;
  private AlertEngine alerts;

  /** A watch to which nothing has happened yet. */
  public PackWatch(PackConfig config) {
    this.config = config;
    this.analysis = new PackAnalysis(config.plan(), config.analysis());
    this.alerts = new AlertEngine(config.plan(), config.alerts());
  }

  /** Takes the next entry and says what changed. */
  public List<AlertEvent> accept(LogEntry entry) {
    analysis.accept(entry);
    return alerts.onEntry(entry, analysis);
  }

  /** Forgets everything. */
  void reset() {
    analysis = new PackAnalysis(config.plan(), config.analysis());
    alerts = new AlertEngine(config.plan(), config.alerts());
  }

  /** Goes on as another watch of the same pack, which knows more. */
  void become(PackWatch other) {
    analysis = other.analysis;
    alerts = other.alerts;
  }

  /** The pack's id. */
  public String id() {
    return config.plan().id();
  }

  /** The config of this pack. */
  public PackConfig config() {
    return config;
  }

  /** What is known of the pack. */
  public PackAnalysis analysis() {
    return analysis;
  }

  /** Its rules. */
  public AlertEngine alerts() {
    return alerts;
  }
}
