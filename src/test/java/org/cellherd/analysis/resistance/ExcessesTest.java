package org.cellherd.analysis.resistance;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.SplittableRandom;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.Test;

/** Drawn bounds, those that no resistance can have among them. */
class ExcessesTest {
  private static final int SERIES = 5;

  @Test
  void whateverTheStepsSayACellThatIsNamedHasAResistance() {
    int named = 0;
    for (long seed = 0; seed < 20_000; seed++) {
      Excesses excesses = drawn(new SplittableRandom(seed));
      for (int cell = 1; cell <= SERIES; cell++) {
        if (excesses.isSure(cell)) {
          Interval mohm = new ExcessReport(excesses, new double[] {10}).cell(cell).mohm();
          assertThat(mohm.high()).as("seed %d cell %d", seed, cell).isFinite().isPositive();
          named++;
        }
      }
    }
    assertThat(named).isGreaterThan(1_000);
  }

  private static Excesses drawn(SplittableRandom random) {
    Excesses excesses = new Excesses(SERIES);
    int usual = random.nextInt(-2_000, 20_000);
    int steps = random.nextInt(2, 12);
    for (int i = 0; i < steps; i++) {
      Excesses.Bounds step = new Excesses.Bounds(SERIES).of(i, 0, 250, i % 2 == 0);
      for (int cell = 1; cell <= SERIES; cell++) {
        int middle = usual * (cell == 2 ? random.nextInt(1, 6) : 1);
        int half = random.nextInt(5_000);
        step.cell(cell, middle - half, middle + half);
      }
      excesses.add(step);
    }
    return excesses;
  }
}
