package org.cellherd.alert;

import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FrameClass;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.PackView;
import org.cellherd.analysis.Suspicion;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;

/** What the analyses would say, set by hand: rules are tested against what a test writes down. */
final class FixedView implements PackView {
  private static final int DEAD_ZONE_MA = 300;

  private final PackPlan plan;
  private long timeMs;
  private Optional<Reading> reading = Optional.empty();
  private boolean fresh;
  Optional<FrameClass> frameClass = Optional.empty();
  BalanceView balance = BalanceView.UNKNOWN;
  Optional<Interval> soc = Optional.empty();
  List<Suspicion> suspicions = List.of();
  List<Finding> completed = List.of();
  List<Finding> standing = List.of();

  FixedView(PackPlan plan) {
    this.plan = plan;
  }

  void take(LogEntry entry) {
    timeMs = entry.timeMs();
    fresh = entry instanceof Reading;
    if (entry instanceof Reading r) {
      reading = Optional.of(r);
    }
  }

  @Override
  public PackPlan plan() {
    return plan;
  }

  @Override
  public long timeMs() {
    return timeMs;
  }

  @Override
  public Optional<Reading> reading() {
    return reading;
  }

  @Override
  public boolean isFresh() {
    return fresh;
  }

  @Override
  public FrameClass frameClass() {
    return frameClass.orElseGet(this::simpleClass);
  }

  private FrameClass simpleClass() {
    if (reading.isEmpty() || reading.get().cells().highestCell() == 0) {
      return FrameClass.UNKNOWN;
    }
    int highest = reading.get().cells().tenthMv(reading.get().cells().highestCell());
    int flow = flowingMa().orElse(0);
    boolean isHigh = highest >= plan.limits().kneeMv() * 10;
    if (flow > 0) {
      return isHigh ? FrameClass.UPPER_KNEE : FrameClass.CHARGE_PLATEAU;
    }
    return flow < 0 ? FrameClass.DISCHARGE : FrameClass.IDLE;
  }

  @Override
  public OptionalInt flowingMa() {
    OptionalInt current = reading.map(Reading::currentMa).orElse(OptionalInt.empty());
    return current.isPresent() && Math.abs(current.getAsInt()) <= DEAD_ZONE_MA
        ? OptionalInt.of(0)
        : current;
  }

  @Override
  public int deadZoneMa() {
    return DEAD_ZONE_MA;
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
