package org.cellherd.analysis.estimate;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What a fit makes of a charge whose cells are drawn by its own model. */
class FitTest {
  private static final int CELLS = 4;
  private static final double RATED_AH = 100;
  private static final double HELD_V = 3.45;
  private static final PackPlan PLAN =
      PackPlan.of("barn", Chemistry.LFP, CELLS, 1, (int) (1000 * RATED_AH));

  /** A charger that holds a voltage takes its current back and no cell falls: that is no step. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aHeldVoltageIsNotTakenForCellsWithoutResistance(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double ohm = random.nextDouble(0.5, 1.5) * Terms.OHM_AH / RATED_AH;
    List<Block> blocks = charge(random, ohm);

    Fit fit = new Fit(PLAN, new Carried(CELLS, RATED_AH), blocks);
    Pass pass = fit.run();

    Block one = blocks.get(10);
    assertThat(pass.drop(one) / one.current().now()).as("ohm %f", ohm).isBetween(ohm / 2, ohm * 2);
    assertThat(pass.chi()).isLessThan(Terms.MOST_CHI);
  }

  /** A minute a block: up to the held voltage at C/10, then held while the current falls. */
  private static List<Block> charge(SplittableRandom random, double ohm) {
    Curve curve = Curve.of(Chemistry.LFP, RATED_AH, 0);
    double[] usual = new double[Curve.STEPS];
    Arrays.setAll(usual, curve::increment);
    double[] rested = new double[CELLS];
    for (int k = 0; k < CELLS; k++) {
      rested[k] = 3.343 + random.nextDouble(0, 0.01);
    }
    List<Block> blocks = new ArrayList<>();
    double ah = 0;
    double amperes = 10;
    for (int minute = 0; minute < 150 && amperes > 1; minute++) {
      double most = 0;
      for (int k = 0; k < CELLS; k++) {
        most = Math.max(most, rested[k]);
      }
      amperes = Math.min(10, Math.max(0, (HELD_V - most) / ohm));
      blocks.add(block(minute / 60.0, rested, amperes, ohm, ah));
      double dq = amperes / 60;
      ah += dq;
      for (int k = 0; k < CELLS; k++) {
        double ahAMv =
            curve.charge(rested[k] + 0.0005, usual) - curve.charge(rested[k] - 0.0005, usual);
        rested[k] += dq * 0.001 / Math.max(1e-3, ahAMv);
      }
    }
    return blocks;
  }

  private static Block block(double hours, double[] rested, double amperes, double ohm, double ah) {
    double[] volts = new double[CELLS];
    for (int k = 0; k < CELLS; k++) {
      volts[k] = rested[k] + ohm * amperes;
    }
    Block.Currents current = new Block.Currents(amperes, 0, 0, 0);
    double[] none = new double[CELLS];
    return new Block(hours, volts, current, ah, 0, 30, 15, none, none.clone(), 3e-4, 0, 1e-3, 0.1);
  }
}
