package org.cellherd;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.RuleId;
import org.cellherd.alert.rule.Bouncing;
import org.cellherd.alert.rule.CellHigh;
import org.cellherd.alert.rule.CellLow;
import org.cellherd.alert.rule.LimitAhead;
import org.cellherd.alert.rule.Runner;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.PackPlan;
import org.cellherd.sim.Exceedance;
import org.cellherd.sim.Fault;
import org.cellherd.sim.TrueCourse;

/** Adds up the runs of one family. */
final class QualityRow {
  private static final long NEAR_MS = 2 * 3_600_000L;
  private static final long LASTING_MS = 30_000;
  private static final double DAY_MS = 86_400_000;
  private static final Set<RuleId> ON_LIMITS =
      Set.of(CellHigh.ID, CellLow.ID, LimitAhead.ID, Runner.ID, Bouncing.ID);

  private static final Set<AlertEvent.Change> SPOKEN =
      Set.of(AlertEvent.Change.RAISED, AlertEvent.Change.NOTICE);

  private final String family;
  private final QualityExpectation expected;
  private final List<Double> leadMinutes = new ArrayList<>();
  private final Map<String, Integer> falseRules = new TreeMap<>();
  private final List<String> falseAlerts = new ArrayList<>();
  private int runs;
  private int found;
  private int named;
  private int violations;
  private int warned;
  private int wolf;
  private double days;
  private long entries;

  QualityRow(String family) {
    this.family = family;
    expected = QualityExpectation.ofFamily(family);
  }

  void add(SimulatedRun run) {
    runs++;
    entries += run.entries();
    if (QualityExpectation.isToldByCapacity(family)) {
      capacity(run);
    }
    days += run.count() * (run.scenario().endMs() - run.scenario().startMs()) / DAY_MS;
    List<AlertEvent> raised =
        run.events().stream().filter(e -> SPOKEN.contains(e.change())).toList();
    cause(run, raised);
    for (PackPlan plan : run.scenario().plans()) {
      limits(run.course(plan.id()), of(plan, raised));
    }
    for (AlertEvent event : raised) {
      if (!isTrue(run, event)) {
        wolf++;
        falseRules.merge(event.alert().key().rule().word(), 1, Integer::sum);
        falseAlerts.add(
            run.scenario().title()
                + ", seed "
                + run.scenario().seed()
                + ", "
                + Instant.ofEpochMilli(event.alert().timeMs())
                + " "
                + event.alert().text());
      }
    }
  }

  private void capacity(SimulatedRun run) {
    int smallest = 1;
    for (int cell = 2; cell <= run.plan().series(); cell++) {
      if (run.truth().capacityAh(cell) < run.truth().capacityAh(smallest)) {
        smallest = cell;
      }
    }
    for (Finding test : run.completed(FindingName.CAPACITY)) {
      if (test.facts().number("limiting_cell").orElse(0) == smallest) {
        found++;
        named += test.facts().text("weak_cause").filter("low_capacity"::equals).isPresent() ? 1 : 0;
        return;
      }
    }
  }

  private void cause(SimulatedRun run, List<AlertEvent> raised) {
    List<Fault> faults = run.scenario().faults();
    long fromMs = faults.isEmpty() ? run.scenario().startMs() : faults.get(0).fromMs();
    List<Alert> right =
        raised.stream()
            .map(AlertEvent::alert)
            .filter(a -> expected.cause().contains(a.key().rule()))
            .filter(a -> a.timeMs() >= fromMs)
            .toList();
    // An active alert reads as what is known by now: of a strap that takes more steps of the load.
    Set<String> ids = right.stream().map(Alert::id).collect(Collectors.toUnmodifiableSet());
    Stream<Alert> active = run.alerts().stream().filter(a -> ids.contains(a.id()));
    found += right.isEmpty() ? 0 : 1;
    named += Stream.concat(right.stream(), active).anyMatch(new NamedCause(run)::isIn) ? 1 : 0;
  }

  private static List<AlertEvent> of(PackPlan plan, List<AlertEvent> events) {
    return events.stream().filter(e -> e.alert().key().pack().equals(plan.id())).toList();
  }

  /** Every cell that really was beyond its cut-off for a while must have been told of. */
  private void limits(TrueCourse course, List<AlertEvent> raised) {
    for (Exceedance e : course.exceedances()) {
      boolean isOutside = e.level() == Exceedance.Level.OVER || e.level() == Exceedance.Level.UNDER;
      if (!isOutside || e.toMs() - e.fromMs() < LASTING_MS) {
        continue;
      }
      violations++;
      raised.stream()
          .filter(a -> ON_LIMITS.contains(a.alert().key().rule()))
          .filter(a -> a.alert().key().cell() == e.cell() || a.alert().key().cell() == 0)
          .filter(a -> a.alert().timeMs() <= e.toMs() && a.alert().timeMs() > e.fromMs() - NEAR_MS)
          .findFirst()
          .ifPresent(a -> warned(e, a));
    }
  }

  private void warned(Exceedance e, AlertEvent first) {
    warned++;
    leadMinutes.add((e.fromMs() - first.alert().timeMs()) / 60_000.0);
  }

  private boolean isTrue(SimulatedRun run, AlertEvent event) {
    RuleId rule = event.alert().key().rule();
    if (expected.expects(rule)) {
      return true;
    }
    long at = event.alert().timeMs();
    return ON_LIMITS.contains(rule)
        && run.course(event.alert().key().pack()).exceedances().stream()
            .anyMatch(e -> at >= e.fromMs() - NEAR_MS && at <= e.toMs() + NEAR_MS);
  }

  double falsePerDay() {
    return wolf / days;
  }

  double foundShare() {
    return (double) found / runs;
  }

  double namedShare() {
    return (double) named / runs;
  }

  /** Share of limit violations that were told of; 1 without any. */
  double warnedShare() {
    return violations == 0 ? 1 : (double) warned / violations;
  }

  /** What was told and was not true, with seed and time. */
  List<String> falseAlerts() {
    return List.copyOf(falseAlerts);
  }

  private boolean isSought() {
    return expected.hasCause() || QualityExpectation.isToldByCapacity(family);
  }

  long entries() {
    return entries;
  }

  static String head() {
    return String.format(
        Locale.ROOT,
        "%-15s %5s %7s %7s %9s %9s %11s  %s",
        "family",
        "runs",
        "found",
        "cause",
        "limits",
        "lead min",
        "false/day",
        "false alerts of");
  }

  @Override
  public String toString() {
    double[] leads = leadMinutes.stream().mapToDouble(Double::doubleValue).toArray();
    return String.format(
        Locale.ROOT,
        "%-15s %5d %7s %7s %9s %9s %11.3f  %s",
        family,
        runs,
        isSought() ? Math.round(100 * foundShare()) + " %" : "-",
        isSought() ? Math.round(100 * namedShare()) + " %" : "-",
        violations == 0 ? "-" : warned + "/" + violations,
        leads.length == 0 ? "-" : String.format(Locale.ROOT, "%.1f", Medians.median(leads)),
        falsePerDay(),
        falseRules.isEmpty() ? "-" : falseRules);
  }
}
