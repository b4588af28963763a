package org.cellherd.analysis.energy;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.ZoneOffset;
import java.util.List;
import java.util.SplittableRandom;
import java.util.random.RandomGenerator;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.DrawnBoard;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.analysis.FoldBench;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.Strata;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** Energy of days drawn at random through boards of drawn errors, against what really flowed. */
class DrawnDaysTest {
  private static final long SEED = 20_261_130;
  private static final int PACKS = 40;
  private static final int DAYS = 9;
  private static final long DAY_MS = 86_400_000;

  @Test
  void energyAndWhatItMeansHoldTheTruthWhateverTheBoardsErrors() {
    Strata energy = new Strata();
    Strata autonomy = new Strata();
    for (int i = 0; i < PACKS; i++) {
      new Days(new SplittableRandom(SEED + i)).run(energy, autonomy);
    }

    System.out.println("energy, seeds from " + SEED + ": " + energy);
    System.out.println("autonomy: " + autonomy);
    assertThat(energy.told()).isEqualTo(PACKS * DAYS * 2);
    energy.assertHeld();
    assertThat(autonomy.told())
        .as("days heard in part say nothing of a usual one")
        .isGreaterThan(PACKS / 4);
    autonomy.assertHeld();
  }

  private static final class Days {
    private final RandomGenerator random;
    private final PackPlan plan;
    private final ModelPack pack;
    private final DrawnBoard board;
    private final FoldBench bench;
    private final double holds;
    private final long stepMs;
    private double inWh;
    private double outWh;
    private double drawnWh;

    Days(RandomGenerator random) {
      this.random = random;
      int cells = random.nextInt(4, 9);
      double rated = Math.rint(20 * Math.pow(15, random.nextDouble()));
      plan =
          PackPlan.builder("p", Chemistry.LFP, cells, 1, (int) (1000 * rated))
              .chargeMv(cells * 3500)
              .build();
      // Midnight UTC, and a step that divides the day.
      pack = new ModelPack(plan, 20_000 * DAY_MS, 0.5);
      holds = rated * random.nextDouble(0.65, 1);
      for (int cell = 1; cell <= cells; cell++) {
        pack.cell(cell, holds, 0.7);
      }
      board = new DrawnBoard(random, cells, rated);
      stepMs = new long[] {10_000, 20_000, 30_000, 60_000}[random.nextInt(4)];
      bench =
          new FoldBench(
              plan,
              AnalysisSettings.of(plan).withZone(ZoneOffset.UTC),
              FindingName.ENERGY,
              EnergyFold::new);
    }

    void run(Strata energy, Strata autonomy) {
      // From next to nothing, which an offset can hide, to half a pack a day.
      double loadAmps = holds / 24 * 0.002 * Math.pow(250, random.nextDouble());
      for (int day = 0; day < DAYS; day++) {
        inWh = 0;
        outWh = 0;
        day(loadAmps);
        List<Finding> found = bench.completed();
        if (day > 0) {
          judge(energy, found.get(day - 1).facts(), loadAmps);
        }
        drawnWh = outWh;
        lastIn = inWh;
      }
      bench.feed(pack.step(stepMs, 0));
      judge(energy, bench.completed().get(DAYS - 1).facts(), loadAmps);
      judgeAutonomy(autonomy, bench.completed().get(DAYS - 1).facts(), loadAmps);
    }

    private double lastIn;

    private void judge(Strata strata, Facts day, double loadAmps) {
      judge(strata, day, "charged_wh", lastIn, loadAmps);
      judge(strata, day, "discharged_wh", drawnWh, loadAmps);
    }

    private void judge(Strata strata, Facts day, String name, double truth, double loadAmps) {
      double low = day.number(name + "_low").orElseThrow();
      double high = day.number(name + "_high").orElseThrow();
      double slack = 0.003 * truth + 0.1;
      strata.told(
          low - slack <= truth && truth <= high + slack,
          100 * (high - low) / Math.max(1, truth),
          name
              + " offset "
              + board.offsetA()
              + " gain "
              + board.gain()
              + " zone "
              + board.zoneA()
              + ", "
              + loadAmps
              + " A of "
              + plan.ratedAh()
              + " Ah: "
              + truth
              + " not in "
              + low
              + " to "
              + high,
          name,
          board.strata()[0],
          board.strata()[2]);
    }

    private void judgeAutonomy(Strata strata, Facts day, double loadAmps) {
      if (day.number("autonomy_days_low").isPresent()) {
        double truth = 0.8 * 0.95 * holds * plan.series() * 3.27 / drawnWh;
        double low = day.number("autonomy_days_low").orElseThrow();
        double high = day.number("autonomy_days_high").orElse(Double.POSITIVE_INFINITY);
        strata.told(
            low <= truth && truth <= high,
            high / low,
            loadAmps
                + " A of "
                + plan.ratedAh()
                + " Ah: "
                + truth
                + " not in "
                + low
                + " to "
                + high,
            board.strata()[0],
            Double.isInfinite(high) ? "at least" : "between");
      }
    }

    /** A load all day, the sun from 9 to 15 h, to the top every third day. */
    private void day(double loadAmps) {
      double sun = random.nextInt(3) == 0 ? holds / 4 : loadAmps * random.nextDouble(2, 6);
      for (long ms = 0; ms < DAY_MS; ms += stepMs) {
        long hour = ms / 3_600_000;
        Reading now =
            hour >= 9 && hour < 15
                ? pack.charge(stepMs, sun, plan.series() * 3.45)
                : pack.step(stepMs, -loadAmps);
        double wh =
            now.currentMa().orElseThrow()
                / 1000.0
                * now.packMv().orElseThrow()
                / 1000
                * stepMs
                / 3.6e6;
        inWh += Math.max(0, wh);
        outWh -= Math.min(0, wh);
        board.print(now).ifPresent(bench::feed);
      }
    }
  }
}
