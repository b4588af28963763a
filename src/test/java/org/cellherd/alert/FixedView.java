package org.cellherd.alert;

import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Bounce;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.Suspicion;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.engine.PackView;
import org.cellherd.analysis.moment.Phase;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/**
 * The analyses' view, where a test may put in what long logs would be needed for: balance, state of
 * charge, suspicions, findings. Rates, frame classes and dead zone are the real ones.
 */
final class FixedView implements PackView {
  private final PackAnalysis analysis;
  Optional<Phase> phase = Optional.empty();
  Optional<Bounce> bounce = Optional.empty();
  BalanceView balance = BalanceView.UNKNOWN;
  Optional<Interval> soc = Optional.empty();
  List<Suspicion> suspicions = List.of();
  List<Finding> completed = List.of();
  List<Finding> standing = List.of();

  FixedView(PackPlan plan) {
    analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
  }

  void take(LogEntry entry) {
    analysis.accept(entry);
  }

  @Override
  public Optional<List<BalanceView.Joint>> joints() {
    return analysis.joints();
  }

  @Override
  public PackPlan plan() {
    return analysis.plan();
  }

  @Override
  public long timeMs() {
    return analysis.timeMs();
  }

  @Override
  public Optional<Reading> reading() {
    return analysis.reading();
  }

  @Override
  public boolean isFresh() {
    return analysis.isFresh();
  }

  @Override
  public Phase phase() {
    return phase.orElseGet(analysis::phase);
  }

  @Override
  public OptionalInt flowingMa() {
    return analysis.flowingMa();
  }

  @Override
  public int deadZoneMa() {
    return analysis.deadZoneMa();
  }

  @Override
  public OptionalDouble slopeMvPerMin(int cell) {
    return analysis.slopeMvPerMin(cell);
  }

  @Override
  public OptionalDouble minutesTo(int cell, int limitMv) {
    return analysis.minutesTo(cell, limitMv);
  }

  @Override
  public Optional<Bounce> bounce() {
    return bounce;
  }

  @Override
  public BalanceView balance() {
    return balance;
  }

  @Override
  public Optional<Interval> socPct() {
    return soc;
  }

  @Override
  public OptionalLong sinceFullMs() {
    return analysis.sinceFullMs();
  }

  @Override
  public List<Suspicion> suspicions() {
    return suspicions;
  }

  @Override
  public List<Finding> completed() {
    return completed;
  }

  @Override
  public List<Finding> standing() {
    return standing;
  }
}
