package org.cellherd.analysis.plausible;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.SplittableRandom;
import java.util.random.RandomGenerator;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Channel.Kind;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

/** Steps of the current, felt and not felt by the cells, drawn. */
class LeapTest {
  private static final long SEED = 20_261_129;
  private static final int RATED_AH = 100;
  private static final int STEP_MS = 20_000;

  /** In a slow log the cells at their end fall by more than the load's drop gives back. */
  @Test
  void aLoadThatEndsWhileHalfOfTheCellsDiveIsFelt() {
    for (int i = 0; i < 200; i++) {
      Step step = Step.load(SEED + i);
      for (int cell = 0; cell < step.cells; cell++) {
        step.move(cell, step.amps * 0.05 / RATED_AH * 1000);
        step.move(cell, cell % 2 == 0 ? -step.random.nextDouble(0, 120) : 0);
      }

      assertThat(step.isCurrentAlone()).as("draw %d", i).isFalse();
    }
  }

  /**
   * In a slow log cells climb in their knee by more than a stopped charge lets them sink; by just
   * as much they seldom do.
   */
  @Test
  void aChargeThatStopsWhileTheCellsClimbIsFelt() {
    int alone = 0;
    for (int i = 0; i < 200; i++) {
      Step step = Step.charge(SEED + i);
      double pct = 100 * step.amps / RATED_AH * step.random.nextDouble(0.3, 1) * STEP_MS / 3.6e6;
      for (int cell = 0; cell < step.cells; cell++) {
        step.move(cell, -step.amps * 0.04 / RATED_AH * 1000);
        step.move(cell, pct * step.random.nextDouble(60, 220));
      }
      alone += step.isCurrentAlone() ? 1 : 0;
    }
    assertThat(alone).as("of 200 taken for alone").isLessThanOrEqualTo(10);
  }

  @Test
  void aCurrentThatNoCellFeelsIsAlone() {
    for (int i = 0; i < 200; i++) {
      assertThat(Step.load(SEED + i).isCurrentAlone()).as("load %d", i).isTrue();
      assertThat(Step.charge(SEED + i).isCurrentAlone()).as("charge %d", i).isTrue();
    }
  }

  /** A load or a charge of a third of 1C and more ends between two readings. */
  private static final class Step {
    private final RandomGenerator random;
    private final int sign;
    private final int cells;
    private final double amps;
    private final int[] before;
    private final int[] now;

    static Step load(long seed) {
      return new Step(seed, -1, 28_000, 30_000);
    }

    static Step charge(long seed) {
      return new Step(seed, 1, 34_200, 36_000);
    }

    private Step(long seed, int sign, int leastTenthMv, int mostTenthMv) {
      this.sign = sign;
      random = new SplittableRandom(seed);
      cells = 2 * random.nextInt(2, 9);
      amps = RATED_AH * random.nextDouble(0.35, 1);
      before = new int[cells];
      now = new int[cells];
      for (int cell = 0; cell < cells; cell++) {
        before[cell] = random.nextInt(leastTenthMv, mostTenthMv);
        now[cell] = before[cell] + (int) Math.round(10 * random.nextGaussian());
      }
    }

    void move(int cell, double mv) {
      now[cell] += (int) Math.round(10 * mv);
    }

    boolean isCurrentAlone() {
      PackPlan plan = PackPlan.of("p", Chemistry.LFP, cells, 1, 1000 * RATED_AH);
      return new Leap(plan)
          .isAlone(
              Channel.of(Kind.CURRENT),
              reading(0, before, sign * (int) (1000 * amps)),
              reading(STEP_MS, now, 0));
    }

    private static Reading reading(long atMs, int[] tenthMv, int milliamps) {
      return Reading.at(1_800_000_000_000L + atMs)
          .cells(CellVoltages.ofTenthMv(tenthMv))
          .currentMa(milliamps)
          .build();
    }
  }
}
