package org.cellherd.analysis.balance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import org.cellherd.SimulatedRun;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.result.AgeingResult;
import org.cellherd.analysis.result.CellGrowth;
import org.cellherd.sim.Fault;
import org.cellherd.sim.TestScenarios;
import org.junit.jupiter.api.Test;

/**
 * Seasons drawn at random of boards that say which cells they bleed but not by how much, with one
 * wire that reads low or high, so that its cell is bled never or always: no growth may be told that
 * the cell's own loss does not make.
 */
class DrawnGrowthTest {
  private static final int PACKS = 8;
  private static final long SEED = 20_261_201;
  private static final long LOOK_MS = 3 * 86_400_000L;

  /** Sound cells differ by some in what they lose by themselves, Ah a day for each Ah. */
  private static final double SLACK = 0.0002;

  @SuppressWarnings("InlineFormatString")
  private static final String PACK =
      """
      title = "drawn season"
      seed = %d
      start = 2026-04-10T00:00:00Z
      hours = 960
      step_s = 10
      poll_s = 60

      [[pack]]
      id = "mill"
      chemistry = "%s"
      series = %d
      parallel = 1
      rated_ah = %.0f
      decoder = "sorrel-16"

      [pack.cells]
      soc_pct = 60
      capacity_spread_pct = 3
      resistance_spread_pct = 15
      ahead_spread_ah = %.2f
      hysteresis_mv = %.1f

      [pack.board]
      cell_noise_mv = %.1f
      zero_below_ma = %d

      [pack.board.trip]
      high_mv = %d
      low_mv = %d

      [pack.board.bleed]
      ma = %.0f
      from_mv = %d
      delta_mv = %.0f
      alternate_s = %d
      when = "%s"
      flag = true
      in_plan = false

      [charger]
      amperes = %.1f
      hold_mv = %d

      [sun]
      peak_w = %.0f
      cloudiness = %.2f

      [[load]]
      name = "house"
      watts = %.0f

      [[fault]]
      kind = "loose-tap"
      tap = "any"
      mv = %.0f
      wander_mv = 0
      ohm = 0

      [[fault]]
      kind = "leak"
      cell = "any"
      ma_per_ah = %.2f
      """;

  private final Random random = new Random(Long.getLong("cellherd.seed", SEED));
  private final Map<String, int[]> strata = new TreeMap<>();

  private double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  @Test
  void noGrowthIsToldThatBleedingOrAWireMakes() {
    for (int i = 0; i < Integer.getInteger("cellherd.runs", PACKS); i++) {
      judge(i);
    }
    strata.forEach((what, n) -> System.out.println(what + ": held " + n[0] + " of " + n[1]));

    strata.forEach(
        (what, n) -> assertThat(n[0]).as("%s of %d", what, n[1]).isGreaterThan(n[1] * 97 / 100));
    assertThat(strata).containsKeys("leaking", "sound");
  }

  private void judge(int number) {
    boolean isFlat = random.nextInt(3) > 0;
    int series = 4 + random.nextInt(5);
    double rated = between(25, 110);
    double watts = rated * series * 3.3;
    String text =
        String.format(
            Locale.ROOT,
            PACK,
            number + 1,
            isFlat ? "lfp" : "nmc",
            series,
            rated,
            rated * between(0.001, 0.01),
            between(1, 8),
            between(0.2, 1.5),
            random.nextBoolean() ? 0 : 200,
            isFlat ? 3650 : 4250,
            isFlat ? 2600 : 3000,
            between(30, 200),
            isFlat ? 3420 : 4050,
            between(5, 12),
            random.nextBoolean() ? 0 : 30,
            random.nextBoolean() ? "charging" : "always",
            rated * between(0.15, 0.3),
            series * (isFlat ? random.nextBoolean() ? 3550 : 3480 : 4150),
            watts * between(0.2, 0.3),
            between(0.2, 0.7),
            watts * between(0.012, 0.025),
            between(5, 25) * (random.nextBoolean() ? 1 : -1),
            random.nextBoolean() ? 0 : between(18, 38) / rated);

    new SimulatedRun(TestScenarios.read(text), false).run(LOOK_MS, run -> count(run, rated));
  }

  private void count(SimulatedRun run, double rated) {
    Fault leak =
        run.scenario().faults().stream()
            .filter(f -> f.kind() == Fault.Kind.LEAK)
            .findFirst()
            .orElseThrow();
    run.standing(FindingName.AGEING)
        .map(f -> (AgeingResult) f.result())
        .ifPresent(
            ageing -> {
              for (CellGrowth growth : ageing.leadGrowth()) {
                boolean isLeaking = growth.cell() == leak.number() && leak.amount() > 0;
                double truth =
                    isLeaking
                        ? -leak.amount() / 1000 * run.truth().capacityAh(growth.cell()) * 24
                        : 0;
                Interval told = growth.ahPerDay();
                double slack = SLACK * rated;
                boolean isHeld = told.low() - slack <= truth && truth <= told.high() + slack;
                int[] n = strata.computeIfAbsent(isLeaking ? "leaking" : "sound", w -> new int[2]);
                n[0] += isHeld ? 1 : 0;
                n[1]++;
                if (!isHeld) {
                  System.out.printf(
                      "pack %s, cell %d: %s for %.4f%n",
                      run.scenario().seed(), growth.cell(), told, truth);
                }
              }
            });
  }
}
