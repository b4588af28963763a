package org.cellherd;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Facts;
import org.cellherd.sim.Impedance;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;

/**
 * How near the analyses come to what is really so in simulated packs: lead and forecast over
 * nights, capacity, resistance.
 *
 * <pre>
 * SEEDS     seeds of each scenario, 20 unless told
 * FIRST     is added to each seed, 0 unless told
 * PART...   first-night, first-night-16s, odd-even, prints-zero, capacity, resistance: all unless told
 * </pre>
 */
public final class AccuracyBenchmark {
  private static final Impedance WARMTH = Impedance.usual(0.001);
  private static final List<String> PARTS =
      List.of(
          "first-night", "first-night-16s", "odd-even", "prints-zero", "capacity", "resistance");

  private final int seeds;
  private final int first;

  private AccuracyBenchmark(int seeds, int first) {
    this.seeds = seeds;
    this.first = first;
  }

  /** Runs it. */
  public static void main(String[] args) {
    int seeds = args.length > 0 ? Integer.parseInt(args[0]) : 20;
    int first = args.length > 1 ? Integer.parseInt(args[1]) : 0;
    AccuracyBenchmark benchmark = new AccuracyBenchmark(seeds, first);
    List<String> wanted = List.of(args).subList(Math.min(2, args.length), args.length);
    for (String part : PARTS) {
      if (wanted.isEmpty() || wanted.contains(part)) {
        benchmark.run(part);
      }
    }
  }

  private void run(String part) {
    switch (part) {
      case "capacity" -> capacity();
      case "resistance" -> resistance();
      default -> nights(part);
    }
  }

  private List<Scenario> scenarios(String name) {
    Scenario scenario = Scenarios.open(name);
    List<Scenario> all = new ArrayList<>();
    for (int i = 0; i < seeds; i++) {
      all.add(scenario.withSeed(scenario.seed() + first + i));
    }
    return all;
  }

  private void nights(String name) {
    NightScore score = new NightScore();
    scenarios(name).forEach(score::add);
    System.out.println(name + ": " + score);
  }

  private void capacity() {
    List<Double> off = new ArrayList<>();
    int held = 0;
    for (Scenario scenario : scenarios("capacity-test")) {
      NavigableMap<Long, Double> drawn = new TreeMap<>();
      SimulatedRun run =
          new SimulatedRun(scenario, false)
              .run(
                  1_000,
                  r ->
                      drawn.put(
                          r.analysis().timeMs(),
                          r.course().dischargedAh() - r.course().chargedAh()));
      for (Finding test : run.completed(FindingName.CAPACITY)) {
        double truth =
            drawn.floorEntry(test.toMs()).getValue()
                - drawn.floorEntry(test.fromMs() - 1_800_000).getValue();
        off.add(Math.abs(number(test.facts(), "ah") / truth - 1) * 100);
        held +=
            number(test.facts(), "ah_low") <= truth && truth <= number(test.facts(), "ah_high")
                ? 1
                : 0;
      }
    }
    print("capacity", off, held);
  }

  private void resistance() {
    List<Double> off = new ArrayList<>();
    for (Scenario scenario : scenarios("bad-strap")) {
      SimulatedRun run = new SimulatedRun(scenario, false).run();
      Finding finding = run.standing(FindingName.RESISTANCE).orElseThrow();
      List<?> cells = (List<?>) finding.facts().get("cells").orElseThrow();
      for (int cell = 1; cell <= cells.size(); cell++) {
        Facts facts = (Facts) cells.get(cell - 1);
        double truth =
            run.truth().resistanceMohm(cell, number(facts, "pulse_s"))
                    * WARMTH.temperatureFactor(number(facts, "temp_c"))
                + (cell == 1 ? 0 : run.truth().strapMohm(cell - 1));
        off.add(Math.abs(number(facts, "mohm") / truth - 1) * 100);
      }
    }
    print("resistance", off, -1);
  }

  private static double number(Facts facts, String name) {
    return facts.number(name).orElse(Double.NaN);
  }

  private static void print(String what, List<Double> off, int held) {
    double[] all = off.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    System.out.printf(
        Locale.ROOT,
        "%s: %d, off by %.2f %% (median), %.2f %% (at most)%s%n",
        what,
        all.length,
        Medians.median(all),
        all[all.length - 1],
        held < 0 ? "" : ", interval held " + held);
  }
}
