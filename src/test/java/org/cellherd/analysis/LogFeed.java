package org.cellherd.analysis;

import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.moment.Moment;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;

/** Lets a test of one fold bring its moment up to date as {@link PackAnalysis} does. */
public final class LogFeed {
  private final Moment moment;

  /** A moment with the default settings of a plan. */
  public LogFeed(PackPlan plan) {
    this(plan, AnalysisSettings.of(plan));
  }

  /** A moment with these settings. */
  public LogFeed(PackPlan plan, AnalysisSettings settings) {
    moment = new Moment(plan, settings);
  }

  /** The moment. */
  public Moment moment() {
    return moment;
  }

  /** Shows an entry to the moment and hands it on. */
  public LogEntry take(LogEntry entry) {
    moment.accept(entry);
    return entry;
  }
}
