package org.cellherd;

import java.util.Arrays;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;

/**
 * How good the alerts are: families of shipped scenarios, many seeds each, straight from the
 * simulated board into analyses and alerts. Prints for each family the share in which the fault was
 * found and its cause named right, limit violations that were told of and how long before, and
 * alerts that were not true, for each day of a pack.
 *
 * <pre>
 * SEEDS [FAMILY...]     seeds of each scenario (long ones: a fifth of them); all families unless named
 * </pre>
 */
public final class AlertQualityBenchmark {
  private static final double LONG_DAYS = 40;
  private static final int LONG_SHARE = 5;

  private final Map<String, QualityRow> rows = new TreeMap<>();

  private AlertQualityBenchmark() {}

  /** Runs it. */
  public static void main(String[] args) {
    int seeds = args.length > 0 ? Integer.parseInt(args[0]) : 20;
    AlertQualityBenchmark benchmark = new AlertQualityBenchmark();
    long begin = System.nanoTime();
    for (String name : Scenarios.shipped()) {
      Scenario scenario = Scenarios.open(name);
      boolean isWanted = args.length <= 1 || Arrays.asList(args).contains(scenario.family());
      if (isWanted) {
        benchmark.run(scenario, seeds);
      }
    }
    benchmark.print((System.nanoTime() - begin) / 1e9);
  }

  private void run(Scenario scenario, int seeds) {
    double days = (scenario.endMs() - scenario.startMs()) / 86_400_000.0;
    int runs = days > LONG_DAYS ? Math.max(1, seeds / LONG_SHARE) : seeds;
    QualityRow row = rows.computeIfAbsent(scenario.family(), QualityRow::new);
    int known = row.falseAlerts().size();
    for (int i = 0; i < runs; i++) {
      row.add(new SimulatedRun(scenario.withSeed(scenario.seed() + i), true).run());
    }
    System.err.println(row);
    row.falseAlerts().stream().skip(known).forEach(f -> System.err.println("  " + f));
  }

  private void print(double seconds) {
    System.out.println(QualityRow.head());
    long entries = 0;
    for (QualityRow row : rows.values()) {
      System.out.println(row);
      entries += row.entries();
    }
    System.out.printf(
        Locale.ROOT, "%d readings in %.0f s, simulation and alerts included%n", entries, seconds);
  }
}
