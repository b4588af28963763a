package org.cellherd.alert;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.alert.engine.AlertEngine;
import org.cellherd.alert.rule.Rules;
import org.cellherd.alert.setting.AlertSettings;
import org.cellherd.alert.setting.RuleSettings;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.SimulatedRig;

/**
 * What judging costs a reading: the same readings by the analyses alone and with the rules, in
 * processor time and bytes of this thread, best of some passes. Beside it stands a yardstick that
 * changes with the machine only: to sort the cells of each reading.
 *
 * <pre>
 * [SCENARIO [READINGS [rules]]]     first-night-16s, 40000; "rules": each rule alone, too
 * </pre>
 */
public final class JudgingBenchmark {
  private static final int PASSES = 20;
  private static final ThreadMXBean THREAD = (ThreadMXBean) ManagementFactory.getThreadMXBean();

  private final PackPlan plan;
  private final List<LogEntry> entries;

  /** Processor time, ns, and bytes, each a reading. */
  private record Cost(double ns, double bytes) {
    Cost less(Cost other) {
      return new Cost(ns - other.ns, bytes - other.bytes);
    }

    Cost orBetter(Cost other) {
      return other.ns < ns ? other : this;
    }
  }

  private JudgingBenchmark(Scenario scenario, int readings) {
    this.plan = scenario.plans().get(0);
    this.entries = readings(scenario, readings);
  }

  /** Runs it. */
  public static void main(String[] args) {
    String name = args.length > 0 ? args[0] : "first-night-16s";
    int readings = args.length > 1 ? Integer.parseInt(args[1]) : 40_000;
    JudgingBenchmark benchmark = new JudgingBenchmark(Scenarios.open(name), readings);
    benchmark.run(name);
    if (args.length > 2) {
      benchmark.runEach();
    }
  }

  private static List<LogEntry> readings(Scenario scenario, int count) {
    SimulatedRig rig = scenario.rig();
    List<LogEntry> list = new ArrayList<>();
    for (long t = scenario.startMs(); t <= scenario.endMs() && list.size() < count; ) {
      rig.stepTo(t);
      list.add(rig.measured().atTime(t));
      t += scenario.pollMs();
    }
    return list;
  }

  private void run(String name) {
    AlertSettings all = Rules.defaults(plan);
    Cost folds = best(Optional.empty());
    Cost rules = best(Optional.of(all)).less(folds);
    System.out.printf(
        Locale.ROOT, "%s: %d readings, %d cells%n", name, entries.size(), plan.series());
    print("sorting the cells (yardstick)", sorting());
    print("folds", folds);
    print("rules", rules);
  }

  private void runEach() {
    AlertSettings none = Rules.defaults(plan);
    for (RuleSettings set : none.all()) {
      none = none.with(set.withEnabled(false));
    }
    Cost bare = best(Optional.of(none));
    for (RuleSettings set : Rules.defaults(plan).all()) {
      print(set.rule().word(), best(Optional.of(none.with(set.withEnabled(true)))).less(bare));
    }
  }

  private static void print(String what, Cost cost) {
    System.out.printf(
        Locale.ROOT, "%-32s %8.2f us %8.0f bytes%n", what, cost.ns() / 1000, cost.bytes());
  }

  private Cost best(Optional<AlertSettings> settings) {
    Cost best = new Cost(Double.MAX_VALUE, 0);
    for (int i = 0; i < PASSES; i++) {
      best = best.orBetter(pass(settings));
    }
    return best;
  }

  private Cost pass(Optional<AlertSettings> settings) {
    PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    Optional<AlertEngine> engine = settings.map(s -> new AlertEngine(plan, s));
    return measured(
        () -> {
          for (LogEntry entry : entries) {
            analysis.accept(entry);
            engine.ifPresent(e -> e.onEntry(entry, analysis));
          }
        });
  }

  private Cost sorting() {
    Cost best = new Cost(Double.MAX_VALUE, 0);
    for (int i = 0; i < PASSES; i++) {
      best = best.orBetter(measured(this::sortAll));
    }
    return best;
  }

  private void sortAll() {
    long sum = 0;
    for (LogEntry entry : entries) {
      // a copy, for cells remember their median
      sum += ((Reading) entry).cells().first(plan.series()).medianTenthMv().orElse(0);
    }
    if (sum == 0) {
      throw new IllegalStateException("no cells");
    }
  }

  private Cost measured(Runnable work) {
    long ns = THREAD.getCurrentThreadCpuTime();
    long bytes = THREAD.getThreadAllocatedBytes(Thread.currentThread().getId());
    work.run();
    double n = entries.size();
    return new Cost(
        (THREAD.getCurrentThreadCpuTime() - ns) / n,
        (THREAD.getThreadAllocatedBytes(Thread.currentThread().getId()) - bytes) / n);
  }
}
