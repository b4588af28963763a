package org.cellherd.analysis.charge;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.SplittableRandom;
import java.util.random.RandomGenerator;
import org.cellherd.analysis.AnalysisSettings;
import org.cellherd.analysis.DrawnBoard;
import org.cellherd.analysis.Interval;
import org.cellherd.analysis.ModelPack;
import org.cellherd.analysis.Strata;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** State of charge of drawn packs through boards of drawn errors, against what was stored. */
class DrawnChargesTest {
  private static final long SEED = 20_261_129;
  private static final int PACKS = 60;

  /** The model's cells rest at 2.5 V with so much of their charge left. */
  private static final double EMPTY = 0.021;

  /** Label, offset, gain and what flows unseen are terms of the interval. */
  @Test
  void aStateOfChargeHoldsTheTruthWhateverBoardAndPackAre() {
    Strata strata = new Strata();
    for (int i = 0; i < PACKS; i++) {
      new Weeks(new SplittableRandom(SEED + i)).run(strata);
    }

    System.out.println("state of charge, seeds from " + SEED + ": " + strata);
    assertThat(strata.told()).isGreaterThan(PACKS * 10);
    strata.assertHeld();
  }

  /** Charges, some of them to the top, and loads of drawn size and length between. */
  private static final class Weeks {
    private final RandomGenerator random;
    private final PackPlan plan;
    private final ModelPack pack;
    private final DrawnBoard board;
    private final PackAnalysis analysis;
    private final double holds;
    private final String label;
    private final long stepMs;
    private boolean wasEmpty;

    Weeks(RandomGenerator random) {
      this.random = random;
      int cells = random.nextInt(4, 9);
      double rated = Math.rint(20 * Math.pow(15, random.nextDouble()));
      plan =
          PackPlan.builder("p", Chemistry.LFP, cells, 1, (int) (1000 * rated))
              .chargeMv(cells * 3500)
              .build();
      pack = new ModelPack(plan, 1_800_000_000_000L, 0.5);
      double health = random.nextDouble(0.6, 1);
      label = health < 0.8 ? "worn below 80 %" : "worn at most 20 %";
      holds = health * rated;
      // Balanced at the top: the smallest cell is empty first.
      double out = random.nextDouble(0.2, 0.6) * holds;
      for (int cell = 1; cell <= cells; cell++) {
        double ah = cell == 1 ? holds : holds * random.nextDouble(1, 1.05);
        pack.cell(cell, ah, 1 - out / ah);
      }
      board = new DrawnBoard(random, cells, rated);
      stepMs = Math.round(10_000 * Math.pow(6, random.nextDouble()));
      analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    }

    void run(Strata strata) {
      for (int day = 0; day < 8; day++) {
        if (day == 0 || random.nextInt(3) > 0) {
          charge(day == 0 || random.nextBoolean());
        }
        judge(strata);
        double amps = 0.02 * Math.pow(25, random.nextDouble()) * plan.ratedAh();
        load(Math.max(amps, 2 * board.zoneA()), random.nextDouble(0.1, day == 4 ? 2 : 0.5));
        judge(strata);
        rest(random.nextInt(1, 20));
        judge(strata);
      }
    }

    private void judge(Strata strata) {
      Optional<Interval> told = analysis.socPct();
      if (told.isPresent()) {
        double truth = 100 * (pack.soc(1) - EMPTY) / (1 - EMPTY);
        Interval pct = told.get();
        strata.told(
            pct.low() <= truth + 0.5 && truth - 0.5 <= pct.high(),
            pct.high() - pct.low(),
            holds + " of " + plan.ratedAh() + " Ah: " + truth + " not in " + pct,
            board.strata()[0],
            board.strata()[2],
            label,
            label + (wasEmpty ? ", seen empty" : ""));
      }
    }

    private void charge(boolean isWhole) {
      double amps = 0.2 * plan.ratedAh();
      double most = isWhole ? Double.POSITIVE_INFINITY : random.nextDouble(0.1, 0.4) * holds;
      double in = 0;
      Reading now;
      do {
        now = pack.charge(stepMs, amps, plan.series() * 3.5);
        in += now.currentMa().orElseThrow() / 1000.0 * stepMs / 3.6e6;
        board.print(now).ifPresent(analysis::accept);
      } while (in < most && now.currentMa().orElseThrow() > 0.03 * plan.ratedMah());
    }

    private void load(double amps, double share) {
      double out = 0;
      while (out < share * holds && !wasEmptiedBy(pack.step(stepMs, -amps))) {
        out += amps * stepMs / 3.6e6;
      }
    }

    private boolean wasEmptiedBy(Reading now) {
      board.print(now).ifPresent(analysis::accept);
      boolean isEmpty = now.cells().tenthMv(now.cells().lowestCell()) < 27_500;
      wasEmpty |= isEmpty;
      return isEmpty;
    }

    private void rest(int hours) {
      for (long ms = 0; ms < hours * 3_600_000L; ms += stepMs) {
        board.print(pack.step(stepMs, 0)).ifPresent(analysis::accept);
      }
    }
  }
}
