package org.cellherd.analysis.estimate;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Which cells bleed, from jumps of a row of cells (synthetic). */
class TapDropTest {

  @Test
  void oneBleedingCellIsToldFromItsNeighbours() {
    int[] signs = new TapDrop(6).solve(new int[] {0, 50, -100, 50, 0, 0}, 0, 40);

    assertThat(signs).containsExactly(0, 0, 1, 0, 0, 0);
  }

  /** A cell that flickers beside one that is bled all the time (synthetic, noise of a board). */
  @ParameterizedTest
  @CsvSource({"60,-110,80,10", "70,-130,60,-10", "50,-120,70,20"})
  void aFlickeringCellDoesNotEndItsNeighboursBleeding(int a, int b, int c, int d) {
    int[] signs = new TapDrop(4).solve(new int[] {a, b, c, d}, 120, 40);

    assertThat(signs).containsExactly(0, 1, 0, 0);
  }

  @Test
  void oddAndEvenCellsThatTakeTurnsAreAllFound() {
    int[] jumps = new int[8];
    int[] began = {-1, 1, -1, 1, -1, 1, 0, 0};
    for (int i = 0; i < 8; i++) {
      jumps[i] -= 100 * began[i];
      if (i > 0) {
        jumps[i - 1] += 50 * began[i];
      }
      if (i < 7) {
        jumps[i + 1] += 50 * began[i];
      }
    }

    assertThat(new TapDrop(8).solve(jumps, 0, 40)).containsExactly(began);
    assertThat(new TapDrop(8).solve(jumps, 100, 40)).containsExactly(began);
  }

  @Test
  void aMovementOfAllCellsIsLeftOver() {
    TapDrop drop = new TapDrop(4);
    int[] jumps = {-60, -60, -60, -60};
    drop.solve(jumps, 120, 40);

    assertThat(Math.abs(drop.leftLift(jumps))).isGreaterThan(20);
  }

  @Test
  void commonDropIsTheLeastSquaresOne() {
    double drop = new TapDrop(4).common(new int[] {50, -100, 50, 0}, 0b0010, 0);

    assertThat(drop).isCloseTo(100, within(1e-9));
  }
}
