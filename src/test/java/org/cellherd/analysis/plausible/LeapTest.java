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

  /** In a slow log the cells at their end fall by more than the load's drop gives back. */
  @Test
  void aLoadThatEndsWhileHalfOfTheCellsDiveIsFelt() {
    for (int i = 0; i < 200; i++) {
      Step step = new Step(SEED + i);
      for (int cell = 0; cell < step.cells; cell++) {
        step.move(cell, step.amps * 0.05 / RATED_AH * 1000);
        step.move(cell, cell % 2 == 0 ? -step.random.nextDouble(0, 120) : 0);
      }

      assertThat(step.isCurrentAlone()).as("draw %d", i).isFalse();
    }
  }

  @Test
  void aCurrentThatNoCellFeelsIsAlone() {
    for (int i = 0; i < 200; i++) {
      assertThat(new Step(SEED + i).isCurrentAlone()).as("draw %d", i).isTrue();
    }
  }

  /** A load of a third of 1C and more goes off between two readings. */
  private static final class Step {
    private final RandomGenerator random;
    private final int cells;
    private final double amps;
    private final int[] before;
    private final int[] now;

    Step(long seed) {
      random = new SplittableRandom(seed);
      cells = 2 * random.nextInt(2, 9);
      amps = RATED_AH * random.nextDouble(0.35, 1);
      before = new int[cells];
      now = new int[cells];
      for (int cell = 0; cell < cells; cell++) {
        before[cell] = random.nextInt(28_000, 30_000);
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
              reading(0, before, -(int) (1000 * amps)),
              reading(20_000, now, 0));
    }

    private static Reading reading(long atMs, int[] tenthMv, int milliamps) {
      return Reading.at(1_800_000_000_000L + atMs)
          .cells(CellVoltages.ofTenthMv(tenthMv))
          .currentMa(milliamps)
          .build();
    }
  }
}
