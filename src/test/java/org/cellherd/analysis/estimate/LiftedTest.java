package org.cellherd.analysis.estimate;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.assertj.core.data.Percentage;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What is said of joints, also by a log that begins while the charge flows. */
class LiftedTest {
  private static final int CELLS = 8;
  private static final double RATED_AH = 100;
  private static final PackPlan PLAN =
      PackPlan.of("barn", Chemistry.LFP, CELLS, 1, (int) (1000 * RATED_AH));

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aCellHighAboveTheOthersFromTheBeginningHasABadJoint(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double amperes = random.nextDouble(10, 40);
    double ohm = random.nextDouble(0.05, 0.12) / amperes;

    double[] found = joints(charge(random, amperes, ohm * amperes, 0));

    assertThat(found[2]).isCloseTo(ohm, Percentage.withPercentage(20));
    found[2] = 0;
    assertThat(found).containsOnly(0);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aCellThatClimbsIsAhead(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double amperes = random.nextDouble(10, 40);
    double lifted = random.nextDouble(0.02, 0.12);

    double[] found = joints(charge(random, amperes, lifted, lifted + 0.02));

    assertThat(found).containsOnly(0);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aWireMayBeOffByAsMuch(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double amperes = random.nextDouble(10, 40);

    double[] found = joints(charge(random, amperes, random.nextDouble(0.01, 0.025), 0));

    assertThat(found).containsOnly(0);
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aRestShowsSmallerJoints(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double amperes = random.nextDouble(10, 40);
    double ohm = random.nextDouble(0.02, 0.12) / amperes;
    List<Block> blocks = charge(random, amperes, ohm * amperes, 0);

    double[] found = joints(after(rest(blocks, -ohm * amperes), blocks));

    assertThat(found[2]).isCloseTo(ohm, Percentage.withPercentage(5));
  }

  /** A discharge left it low; what charges it brings it up to the others. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void aCellThatWasEmptyAtRestHasNoBadJoint(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    List<Block> blocks = charge(random, random.nextDouble(10, 40), 0, 0);

    double[] found = joints(after(rest(blocks, -random.nextDouble(0.03, 0.4)), blocks));

    assertThat(found).containsOnly(0);
  }

  private static double[] joints(List<Block> blocks) {
    return Lifted.ohm(blocks, PLAN).orElseThrow();
  }

  /** Before the charge, the third cell moved by so much. */
  private static Block rest(List<Block> blocks, double moved) {
    double[] volts = blocks.get(0).volts().clone();
    volts[2] += moved;
    return block(-0.1, volts, 0, 0);
  }

  private static List<Block> after(Block rest, List<Block> blocks) {
    List<Block> all = new ArrayList<>(List.of(rest));
    all.addAll(blocks);
    return all;
  }

  /** A tenth of the rated charge, in which the third cell is lifted, and then climbs, V. */
  private static List<Block> charge(
      SplittableRandom random, double amperes, double lifted, double climbs) {
    double height = random.nextDouble(-0.01, 0.01);
    double[] wire = random.doubles(CELLS, -0.0025, 0.0025).toArray();
    List<Block> blocks = new ArrayList<>();
    for (double ah = 0; ah <= 0.1 * RATED_AH; ah += 0.5) {
      double done = ah / (0.1 * RATED_AH);
      double[] volts = new double[CELLS];
      Arrays.setAll(volts, k -> 3.33 + height + 0.01 * done + wire[k]);
      volts[2] += lifted + 2 * climbs * done;
      blocks.add(block(ah / amperes, volts, amperes, ah));
    }
    return blocks;
  }

  private static Block block(double hours, double[] volts, double amperes, double ah) {
    Block.Currents current = new Block.Currents(amperes, 0, 0, 0, 0);
    double[] none = new double[CELLS];
    return new Block(hours, volts, current, ah, 0, 30, 15, none, none, 3e-4, 0, 1e-3, 0.1, 1);
  }
}
