package org.cellherd.analysis.resistance;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.analysis.Strata;
import org.cellherd.pack.Chemistry;
import org.junit.jupiter.api.Test;

/** One load after a rest, through boards of drawn errors and at any pace, against the cells. */
class DrawnStepsTest {
  private static final long SEED = 20_261_128;
  private static final int PACKS = 120;

  /** Of some 720 in these packs. */
  private static final int LEAST_CELLS = 480;

  /** What a board's gain may be off by. */
  private static final double MEAN_ERROR = 0.02;

  /** Of some 1,400 in packs of small loads. */
  private static final int LEAST_OF_SMALL = 350;

  /** Of some 2,200 in packs with two or three loads. */
  private static final int LEAST_UNLIKE = 700;

  /** Of some 1,400 in packs that are cycled. */
  private static final int LEAST_IN_CYCLES = 500;

  /** Of some 4,900 in charges that trip. */
  private static final int LEAST_BOUNDS = 3_000;

  private static final Chemistry[] SLOPING = {Chemistry.NMC, Chemistry.LTO, Chemistry.SODIUM_ION};

  /** Of some 5,800 in the packs of sloping cells. */
  private static final int LEAST_SLOPING = 800;

  /** A board's gain may be off by 2 %, and its volts by a part of their last digit. */
  @Test
  void oneStepFromRestTellsEveryCellsResistanceWithinItsBoundsAndATenth() {
    Strata strata = new Strata();
    int told = 0;
    for (int i = 0; i < PACKS; i++) {
      told += new DrawnStep(new SplittableRandom(SEED + i)).run(strata) ? 1 : 0;
    }

    System.out.println("resistance, " + told + " of " + PACKS + " from " + SEED + ": " + strata);
    assertThat(told).isGreaterThan(PACKS * 2 / 3);
    assertThat(strata.told()).as("cells told").isGreaterThan(LEAST_CELLS);
    assertThat(strata.told("2 to 10 s")).as("slow boards, too: %s", strata).isGreaterThan(20);
    strata.assertHeld();
  }

  /** A cell is told for what the step shows, not because noise made it large. */
  @Test
  void whatIsToldIsOnAverageNeitherTooHighNorTooLow() {
    List<Double> off = new ArrayList<>();
    for (int i = 0; i < 2 * PACKS; i++) {
      new DrawnStep(new SplittableRandom(SEED + PACKS + i)).small().errors(off);
    }

    double mean = off.stream().mapToDouble(e -> e).average().orElseThrow();
    System.out.println(off.size() + " cells told, on average off by " + 100 * mean + " %");
    assertThat(off).hasSizeGreaterThan(LEAST_OF_SMALL);
    assertThat(mean).isCloseTo(0, within(MEAN_ERROR));
  }

  /** A joint is ohmic whichever way the current turns and wherever the cells stand. */
  @Test
  void loadsThatComeAndGoNameABadJointAndNobodyElse() {
    DrawnStep.Joints joints = new DrawnStep.Joints();
    for (int i = 0; i < PACKS; i++) {
      new DrawnStep(new SplittableRandom(SEED - 1 - i)).judgeJoint(joints);
    }

    System.out.println("joints from " + SEED + " down: " + joints);
    assertThat(joints.wrong).as("%s", joints).isZero();
    assertThat(joints.named).as("%s", joints).isGreaterThan(joints.plain * 3 / 4);
  }

  /** Where a charge ends and a discharge begins and ends, steps tell little: others tell enough. */
  @Test
  void oneCycleFromFullToEmptyNamesABadJointAndNobodyElse() {
    DrawnStep.Joints joints = new DrawnStep.Joints();
    for (int i = 0; i < PACKS / 2; i++) {
      new DrawnStep(new SplittableRandom(SEED + 20_000 + i)).judgeCycle(joints);
    }

    System.out.println("joints in cycles from " + SEED + ": " + joints);
    assertThat(joints.wrong).as("%s", joints).isZero();
    assertThat(joints.named).as("%s", joints).isGreaterThan(joints.plain * 9 / 10);
  }

  /**
   * The fullest cells climb and fall back each time above 3.55 V, in a knee as steep as real ones
   * may be. Of the current, the gain's error counts, too.
   */
  @Test
  void eachStepOfAChargeThatTripsAndComesBackLeavesTheTruthOpen() {
    int[] held = new int[2];
    for (int i = 0; i < PACKS / 2; i++) {
      new DrawnStep(new SplittableRandom(SEED + 30_000 + i)).judgeTrips(held);
    }

    System.out.println("bounds in charges that trip, " + held[0] + " of " + held[1]);
    assertThat(held[1]).isGreaterThan(LEAST_BOUNDS);
    assertThat(held[0]).isGreaterThan(held[1] * 95 / 100);
  }

  /** How steep a cell's curve ends, no sheet knows of every cell: what the watch shows counts. */
  @Test
  void slopingCellsNearEmptyAreToldWithinTheirBoundsAndATenthOrNotAtAll() {
    Strata strata = new Strata();
    for (int i = 0; i < 8 * PACKS; i++) {
      Chemistry chemistry = SLOPING[i % SLOPING.length];
      new DrawnStep(new SplittableRandom(SEED + 10_000 + i), chemistry).runFromEmpty(strata);
    }

    System.out.println("resistance of sloping cells from " + SEED + ": " + strata);
    assertThat(strata.told()).as("cells told").isGreaterThan(LEAST_SLOPING);
    strata.assertHeld();
  }

  /** A step that hardly moves the cells says little beside one that moves them well. */
  @Test
  void loadsOfUnlikeSizeTellCellsWithinTheirBoundsAndATenthOrNotAtAll() {
    Strata strata = new Strata();
    for (int i = 0; i < 3 * PACKS; i++) {
      new DrawnStep(new SplittableRandom(SEED + 50_000 + i)).runUnlike(strata);
    }

    System.out.println("resistance by unlike loads from " + SEED + ": " + strata);
    assertThat(strata.told()).as("cells told").isGreaterThan(LEAST_UNLIKE);
    strata.assertHeld();
  }

  /**
   * A few steps of unlike size, ended in a knee by a cell that dives, and surfaces that come back
   * to their bulk for an hour: a charge to full, two discharges to empty.
   */
  @Test
  void aTestOfTwoCyclesTellsCellsWithinTheirBoundsAndATenthOrNotAtAll() {
    Strata strata = new Strata();
    for (int i = 0; i < 2 * PACKS; i++) {
      new DrawnStep(new SplittableRandom(SEED + 40_000 + i)).runCycles(strata);
    }

    System.out.println("resistance in cycles from " + SEED + ": " + strata);
    assertThat(strata.told()).as("cells told").isGreaterThan(LEAST_IN_CYCLES);
    strata.assertHeld();
  }
}
