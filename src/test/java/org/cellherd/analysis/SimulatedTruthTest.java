package org.cellherd.analysis;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.NavigableMap;
import java.util.TreeMap;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.trend.Medians;
import org.cellherd.pack.Facts;
import org.cellherd.sim.Fault;
import org.cellherd.sim.Impedance;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** What the analyses find in simulated logs against what is really so in the simulator. */
class SimulatedTruthTest {
  private static final Impedance WARMTH = Impedance.usual(0.001);

  @Test
  void capacityAtTwoRatesIsThatOfTheSimulatedPack() {
    NavigableMap<Long, Double> drawn = new TreeMap<>();
    SimulatedRun run =
        new SimulatedRun(Scenarios.open("capacity-test"), false)
            .run(
                1_000,
                r ->
                    drawn.put(
                        r.analysis().timeMs(), r.course().dischargedAh() - r.course().chargedAh()));

    List<Finding> tests = run.completed(FindingName.CAPACITY);
    assertThat(tests).hasSize(2);
    for (Finding test : tests) {
      double truth = between(drawn, test.fromMs() - 1_800_000, test.toMs());
      assertThat(number(test.facts(), "ah")).isCloseTo(truth, within(0.005 * truth));
      assertThat(number(test.facts(), "ah_low")).isLessThan(truth);
      assertThat(number(test.facts(), "ah_high")).isGreaterThan(truth);
    }
  }

  private static double between(NavigableMap<Long, Double> drawn, long fromMs, long toMs) {
    return drawn.floorEntry(toMs).getValue() - drawn.floorEntry(fromMs).getValue();
  }

  /** Under much current the first cells cross levels that lie on the plateau for the others. */
  @Test
  void aLeadThatIsToldHoldsTheTruthAtEveryMinute() {
    List<String> missed = new ArrayList<>();
    new SimulatedRun(Scenarios.open("runaway"), false)
        .run(60_000, r -> r.standing(FindingName.BALANCE).ifPresent(f -> missed.addAll(out(f, r))));

    assertThat(missed).isEmpty();
  }

  private static List<String> out(Finding balance, SimulatedRun run) {
    boolean isTold = balance.facts().text("state").filter("not_at_top"::equals).isEmpty();
    List<?> leads = isTold ? (List<?>) balance.facts().get("lead").orElseThrow() : List.of();
    return leads.stream()
        .map(Facts.class::cast)
        .filter(
            lead -> {
              double truth = run.truth().leadAh((int) number(lead, "cell"));
              return truth < number(lead, "low_ah") - 0.1 || truth > number(lead, "high_ah") + 0.1;
            })
        .map(lead -> balance.toMs() + " " + lead)
        .toList();
  }

  @Test
  void resistanceIsThatOfTheSimulatedCellsAndTheBadStrapStandsOut() {
    SimulatedRun run = run("bad-strap");

    Finding finding = run.standing(FindingName.RESISTANCE).orElseThrow();
    List<?> cells = (List<?>) finding.facts().get("cells").orElseThrow();
    for (int cell = 1; cell <= 3; cell++) {
      Facts facts = (Facts) cells.get(cell - 1);
      double inner =
          run.truth().resistanceMohm(cell, number(facts, "pulse_s"))
              * WARMTH.temperatureFactor(number(facts, "temp_c"));
      double truth = inner + (cell == 1 ? 0 : run.truth().strapMohm(cell - 1));
      assertThat(number(facts, "mohm")).isCloseTo(truth, within(0.05 * truth));
    }
    Facts bad = (Facts) cells.get(3);
    assertThat(bad.text("suspect")).contains("strap");
    assertThat(number(bad, "strap_mohm"))
        .isCloseTo(run.truth().strapMohm(3), within(0.15 * run.truth().strapMohm(3)));
    assertThat(finding.sentence()).contains("Cell 4").contains("a bad joint");
  }

  @Test
  void aCellOfLowCapacityIsToldFromOneOfLowCharge() {
    SimulatedRun run = run("low-capacity");

    Finding test = run.completed(FindingName.CAPACITY).get(0);
    assertThat(number(test.facts(), "weak_cell")).isEqualTo(2);
    assertThat(test.facts().text("weak_cause")).contains("low_capacity");
    assertThat(test.sentence())
        .contains("has less capacity than the others: balancing would bring at most");
    Facts usable = (Facts) test.facts().get("usable").orElseThrow();
    assertThat(number(usable, "smallest_cell")).isEqualTo(2);
    double less = medianCapacityAh(run) - run.truth().capacityAh(2);
    assertThat(interval(usable, "smallest_costs").holds(less)).as("%s", usable).isTrue();
    assertThat(test.sentence()).contains("Were cell 2 like the middle one");
  }

  private static double medianCapacityAh(SimulatedRun run) {
    double[] all = new double[run.plan().series()];
    for (int i = 0; i < all.length; i++) {
      all[i] = run.truth().capacityAh(i + 1);
    }
    return Medians.median(all);
  }

  @Test
  void whatBalancingWouldBringIsThatOfTheSimulatedString() {
    String cells = "ahead_spread_ah = 0.03\n\n[[pack.cell]]\nnumber = 1\nahead_ah = 0.6\n";
    String text =
        Scenarios.text("capacity-test")
            .orElseThrow()
            .replace("hours = 36", "hours = 18")
            .replace("ahead_spread_ah = 0.03\n", cells)
            .replace("from_mv = 3420", "from_mv = 3640");
    NavigableMap<Long, Double> costs = new TreeMap<>();
    SimulatedRun run =
        new SimulatedRun(Scenario.read("uneven.toml", text, new Problems()).orElseThrow(), false)
            .run(60_000, r -> costs.put(r.analysis().timeMs(), imbalanceCostsAh(r)));

    Finding test = run.completed(FindingName.CAPACITY).get(0);
    Facts usable = (Facts) test.facts().get("usable").orElseThrow();
    double truth = costs.floorEntry(test.toMs()).getValue();
    assertThat(truth).isGreaterThan(0.3);
    assertThat(interval(usable, "imbalance_costs").holds(truth))
        .as("%.2f of %s", truth, usable)
        .isTrue();
    assertThat(number(usable, "first_full_cell")).isEqualTo(1);
    assertThat(test.sentence()).contains("more balance, more capacity");
  }

  private static double imbalanceCostsAh(SimulatedRun run) {
    double least = Double.MAX_VALUE;
    for (int cell = 1; cell <= run.plan().series(); cell++) {
      least = Math.min(least, run.truth().capacityAh(cell));
    }
    return least - run.truth().usableAh();
  }

  private static Interval interval(Facts facts, String name) {
    Facts bounds = (Facts) facts.get(name).orElseThrow();
    return new Interval(
        number(bounds, "low_ah"), number(bounds, "mid_ah"), number(bounds, "high_ah"));
  }

  @Test
  void aLeakAtRestIsFound() {
    SimulatedRun run = run("shelf-rest");

    Finding rest = run.standing(FindingName.REST).orElseThrow();
    Fault leak = run.scenario().faults().get(0);
    assertThat(rest.facts().get("suspects")).contains(List.of(leak.number()));
  }

  @Test
  void aLeakIsFoundFromOneFullChargeToTheNext() {
    String text =
        Scenarios.text("leaking-cell")
            .orElseThrow()
            .replace("hours = 504", "hours = 288")
            .replace("step_s = 5", "step_s = 10")
            .replace("poll_s = 5", "poll_s = 10");
    Scenario shorter = Scenario.read("leak.toml", text, new Problems()).orElseThrow();
    SimulatedRun run = new SimulatedRun(shorter, false).run();

    Finding ageing = run.standing(FindingName.AGEING).orElseThrow();
    Fault leak = run.scenario().faults().get(0);
    List<?> leaking = (List<?>) ageing.facts().get("leaking").orElseThrow();
    assertThat(leaking).hasSize(1);
    Facts found = (Facts) leaking.get(0);
    assertThat(number(found, "cell")).isEqualTo(leak.number());
    double more = run.truth().leakMa(leak.number()) - medianLeakMa(run);
    assertThat(number(found, "leak_ma_low")).isBetween(0.5 * more, more);
    assertThat(number(found, "leak_ma_high")).isBetween(more, 1.5 * more);
    assertThat(ageing.sentence()).contains("falls behind from one full charge to the next");
  }

  private static double medianLeakMa(SimulatedRun run) {
    double[] leaks = new double[run.plan().series()];
    for (int i = 0; i < leaks.length; i++) {
      leaks[i] = run.truth().leakMa(i + 1);
    }
    return Medians.median(leaks);
  }

  /**
   * The board slept while a load went on, and prints charge as discharge: the count does not fit.
   */
  @Test
  void whatTheCountOfChargeSuspectsIsToldWithTheOtherDoubts() {
    SimulatedRun run = run("sleeping-board");

    assertThat(run.standing(FindingName.PLAUSIBILITY).orElseThrow().facts().toString())
        .contains("more charge was counted in than the pack can hold");
  }

  private static SimulatedRun run(String name) {
    return new SimulatedRun(Scenarios.open(name), false).run();
  }

  private static double number(Facts facts, String name) {
    return facts.number(name).orElse(Double.NaN);
  }
}
