package org.cellherd.analysis.estimate;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** What a fit makes of a charge whose cells are drawn by its own model. */
class FitTest {
  private static final int CELLS = 4;
  private static final double RATED_AH = 100;
  private static final int EVEN_PACKS = 20;
  private static final double HELD_V = 3.45;
  private static final PackPlan PLAN =
      PackPlan.of("barn", Chemistry.LFP, CELLS, 1, (int) (1000 * RATED_AH));

  /** A charger that holds a voltage takes its current back and no cell falls: that is no step. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aHeldVoltageIsNotTakenForCellsWithoutResistance(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double ohm = random.nextDouble(0.5, 1.5) * ErrorBudget.OHM_AH / RATED_AH;
    List<Block> blocks = charge(random, ohm, new Supply(10, 0, 0.1)).blocks();

    Fit fit = new Fit(PLAN, new Carried(CELLS, RATED_AH), false, blocks, null);
    Pass pass = fit.run();

    Block one = blocks.get(10);
    assertThat(pass.drop(one) / one.current().now()).as("ohm %f", ohm).isBetween(ohm / 2, ohm * 2);
    assertThat(pass.chi()).isLessThan(ErrorBudget.MOST_CHI);
  }

  /**
   * While the board prints it a current is known to its offset. From the first reading on that says
   * 0 it may be anything within the dead zone: what was off before tells nothing of it.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aCurrentThatIsPrintedNoMoreIsNotTakenForNone(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double ohm = random.nextDouble(0.5, 1.5) * ErrorBudget.OHM_AH / RATED_AH;
    Supply evening = new Supply(3, 1.5, random.nextDouble(0.5, 2));
    Night night = charge(random, ohm, evening);
    int unprinted = new Unknowns(CELLS).current();
    int first = 0;
    while (night.blocks().get(first).current().now() > 0) {
      first++;
    }

    for (int i = first; i < night.blocks().size(); i++) {
      List<Block> soFar = night.blocks().subList(0, i + 1);
      Belief belief =
          new Fit(PLAN, new Carried(CELLS, RATED_AH), false, soFar, null).run().belief();
      // the edge of the zone is two of them away, and the offset comes on top
      double error = 2.5 * Math.sqrt(belief.covariance[unprinted][unprinted]);
      assertThat(belief.mean[unprinted])
          .as("%d minutes after the first 0", i - first)
          .isCloseTo(night.amperes().get(i), within(error));
    }
  }

  /** In the cold cells have two or three times the resistance: that is not taken for a knee. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aChargeInTheColdFitsItsCurve(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double ohm = random.nextDouble(1, 1.5) * ErrorBudget.OHM_AH / RATED_AH;
    Supply supply = new Supply(15, 0, 0.1, random.nextDouble(2, 2.5));
    List<Block> blocks = charge(random, ohm, supply).blocks();

    Pass pass = new Fit(PLAN, new Carried(CELLS, RATED_AH), false, blocks, null).run();

    Block one = blocks.get(10);
    double share = pass.drop(one) / one.current().now() / (ohm * supply.cold());
    assertThat(share).as("of %f ohm, %f in the cold", ohm, supply.cold()).isBetween(0.5, 2.0);
    assertThat(pass.chi()).isLessThan(ErrorBudget.MOST_CHI);
  }

  /** Where all stand alike the middle cell, too, has left its plateau when the first climbs. */
  @Test
  void aPlateauIsNotTakenForHigherWhereAllCellsClimbTogether() {
    Curve curve = Curve.of(Chemistry.LFP, RATED_AH, 0);
    double[] usual = new double[Curve.STEPS];
    Arrays.setAll(usual, curve::increment);
    int held = 0;
    double share = 0;
    for (int seed = 1; seed <= EVEN_PACKS; seed++) {
      SplittableRandom random = new SplittableRandom(seed);
      double ohm = random.nextDouble(0.5, 1.5) * ErrorBudget.OHM_AH / RATED_AH;
      double lead = random.nextDouble(0.5, 1.5);
      double last = curve.charge(3.39, usual) - random.nextDouble(15, 20);
      double[] rested = new double[CELLS];
      Arrays.fill(rested, volts(curve, usual, last));
      rested[1] = volts(curve, usual, last + lead);
      List<Block> blocks = charge(ohm, new Supply(5, 0, 0.1), rested).blocks();

      Belief b = new Fit(PLAN, new Carried(CELLS, RATED_AH), false, blocks, null).run().belief();

      double found = b.mean[1] - b.mean[0];
      double error = Math.sqrt(b.covariance[0][0] + b.covariance[1][1] - 2 * b.covariance[0][1]);
      share += found / lead / EVEN_PACKS;
      held += Math.abs(found - lead) < 2 * error ? 1 : 0;
    }
    assertThat(share).isCloseTo(1, within(0.25));
    assertThat(held).isEqualTo(EVEN_PACKS);
  }

  /**
   * A plateau of iron phosphate has a step, 35 mV (from memory), wherever that is: a charge that
   * comes over it has not come to the knee.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void noCellIsSeenInItsKneeBeforeOneClimbs(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double height = random.nextDouble(-0.01, 0.01);
    double stepMinute = random.nextDouble(40, 80);
    List<Block> blocks = new ArrayList<>();
    for (int minute = 0; minute < 120; minute++) {
      double[] volts = new double[CELLS];
      Arrays.fill(volts, 3.305 + height + 0.035 / (1 + Math.exp((stepMinute - minute) / 6)));
      blocks.add(block(minute / 60.0, volts, 10, minute / 6.0, new Supply(10, 0, 0.1)));

      Pass pass = new Fit(PLAN, new Carried(CELLS, RATED_AH), false, blocks, null).run();

      assertThat(pass.knees().all()).as("minute %d", minute).isZero();
    }
  }

  /**
   * On the plateau voltages tell nothing of who leads: a charge begins with the leads that another
   * one left, wherever the middle cell is, though each cell reads some mV off.
   */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6})
  void aChargeBeginsWithTheLeadsThatAnotherOneLeft(long seed) {
    SplittableRandom random = new SplittableRandom(seed);
    double ohm = ErrorBudget.OHM_AH / RATED_AH;
    Supply supply = new Supply(10, 0, 0.1);
    Carried carried = new Carried(CELLS, RATED_AH);
    List<Block> first = charge(random, ohm, supply).blocks();
    carried.take(new Fit(PLAN, carried, false, first, null).run(), 3);
    double[] rested = new double[CELLS];
    Arrays.setAll(rested, k -> 3.327 + random.nextDouble(-0.008, 0.008));

    List<Block> second = charge(ohm, supply, rested).blocks().subList(0, 3);
    Belief belief = new Fit(PLAN, carried, false, second, null).run().belief();

    for (int k = 1; k < CELLS; k++) {
      double left = carried.place(k) - carried.place(0);
      double variance = carried.spread(k, k, 0) + carried.spread(0, 0, 0);
      double error = 2 * Math.sqrt(variance - 2 * carried.spread(k, 0, 0));
      assertThat(belief.mean[k] - belief.mean[0])
          .as("cell %d", k + 1)
          .isCloseTo(left, within(error));
    }
  }

  private static double volts(Curve curve, double[] usual, double ah) {
    double low = curve.lowest();
    double high = curve.highest();
    for (int i = 0; i < 50; i++) {
      double middle = (low + high) / 2;
      boolean isAbove = curve.charge(middle, usual) > ah;
      low = isAbove ? low : middle;
      high = isAbove ? middle : high;
    }
    return low;
  }

  /** Current that falls by so much an hour, below the zone not printed, A; 1 at 25 degC. */
  private record Supply(double amperes, double fall, double zone, double cold) {
    Supply(double amperes, double fall, double zone) {
      this(amperes, fall, zone, 1);
    }
  }

  /** What a board showed, and what flowed. */
  private record Night(List<Block> blocks, List<Double> amperes) {}

  /** A minute a block: up to the held voltage, then held while the current falls. */
  private static Night charge(SplittableRandom random, double ohm, Supply supply) {
    double[] rested = new double[CELLS];
    for (int k = 0; k < CELLS; k++) {
      rested[k] = 3.343 + random.nextDouble(0, 0.01);
    }
    return charge(ohm, supply, rested);
  }

  private static Night charge(double ohm, Supply supply, double[] rested) {
    Curve curve = Curve.of(Chemistry.LFP, RATED_AH, 0);
    double[] usual = new double[Curve.STEPS];
    Arrays.setAll(usual, curve::increment);
    Night night = new Night(new ArrayList<>(), new ArrayList<>());
    double ah = 0;
    double amperes = supply.amperes();
    double least = supply.fall() > 0 ? 0.1 * supply.zone() : 1;
    for (int minute = 0; minute < 150 && amperes > least; minute++) {
      double most = 0;
      for (int k = 0; k < CELLS; k++) {
        most = Math.max(most, rested[k]);
      }
      double supplied = supply.amperes() - supply.fall() * minute / 60;
      amperes = Math.min(supplied, Math.max(0, (HELD_V - most) / ohm / supply.cold()));
      double printed = amperes < supply.zone() ? 0 : amperes;
      double[] volts = rested.clone();
      for (int k = 0; k < CELLS; k++) {
        volts[k] += ohm * supply.cold() * amperes;
      }
      night.amperes().add(amperes);
      night.blocks().add(block(minute / 60.0, volts, printed, ah, supply));
      ah += printed / 60;
      double dq = amperes / 60;
      for (int k = 0; k < CELLS; k++) {
        double ahAMv =
            curve.charge(rested[k] + 0.0005, usual) - curve.charge(rested[k] - 0.0005, usual);
        rested[k] += dq * 0.001 / Math.max(1e-3, ahAMv);
      }
    }
    return night;
  }

  private static Block block(double hours, double[] volts, double amperes, double ah, Supply s) {
    Block.Currents current = new Block.Currents(amperes, 0, 0, 0, 0);
    double[] none = new double[CELLS];
    double[] no = none.clone();
    return new Block(
        hours, volts, current, ah, 0, 30, 15, none, no, 3e-4, 0, 1e-3, s.zone(), s.cold());
  }
}
