package org.cellherd.analysis.plan;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.Random;
import java.util.stream.IntStream;
import java.util.stream.LongStream;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Plans and boards drawn at random: those that agree pass, each contradiction fails by its name.
 */
final class BoardFitTest {

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", System.nanoTime());
    return LongStream.range(first, first + 300);
  }

  private static PackPlan.Builder plan(Random random, int series) {
    List<Chemistry> all = List.of(Chemistry.values());
    Chemistry chemistry = all.get(random.nextInt(all.size()));
    return PackPlan.builder("crate", chemistry, series, 2, 5_000 + random.nextInt(200_000));
  }

  /** A reading that the plan's pack may give, at any state of charge and a current up to C/2. */
  private static Reading.Builder agreeing(PackPlan plan, Random random) {
    CellLimits limits = plan.limits();
    double soc = random.nextDouble();
    int low = soc >= 0.5 ? limits.nominalMv() - 100 : limits.cutOffLowMv();
    int[] cells =
        IntStream.range(0, plan.series())
            .map(i -> 10 * (low + random.nextInt(limits.cutOffHighMv() - low)))
            .toArray();
    int sum = IntStream.of(cells).sum() / 10;
    return Reading.at(1_700_000_000_000L)
        .cells(CellVoltages.ofTenthMv(cells))
        .packMv(sum + sum / 200 - random.nextInt(Math.max(1, sum / 100)))
        .currentMa((int) (random.nextInt((int) plan.ratedMah()) - plan.ratedMah() / 2))
        .socTenthPct((int) (1_000 * soc))
        .chargeSwitch(true)
        .dischargeSwitch(true)
        .temperatures(Temperatures.ofTenthC(random.nextInt(500) - 100))
        .boardMah((int) (soc * plan.ratedMah() * 1.1));
  }

  private static List<String> failed(PackPlan plan, Reading reading) {
    return BoardFit.of(plan, reading).stream().map(PlanCheck::name).toList();
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aBoardThatAgreesContradictsNothing(long seed) {
    Random random = new Random(seed);
    PackPlan plan = plan(random, 1 + random.nextInt(24)).build();

    assertThat(BoardFit.of(plan, agreeing(plan, random).build())).as("seed %d", seed).isEmpty();
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void eachContradictionFails(long seed) {
    Random random = new Random(seed);
    int series = 2 + random.nextInt(20);
    PackPlan plan = plan(random, series).build();
    PackPlan longer =
        PackPlan.builder("x", plan.chemistry(), series + 1 + random.nextInt(4), 2, plan.ratedMah())
            .build();
    Reading.Builder right = agreeing(plan, random);
    Reading reading = right.build();

    assertThat(failed(longer, reading)).as("seed %d", seed).contains("board-cells");
    assertThat(failed(plan, right.packMv(reading.packMv().getAsInt() * 11 / 10).build()))
        .as("seed %d", seed)
        .contains("board-voltage-sum");
    assertThat(failed(plan, right.boardMah((int) (plan.ratedMah() * 2)).build()))
        .contains("board-capacity");
    assertThat(failed(plan, right.currentMa(5_000).chargeSwitch(false).build()))
        .contains("board-current-sign");
    assertThat(failed(plan, right.temperatures(Temperatures.ofTenthC(-1_080)).build()))
        .contains("board-temperature");
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void cellsOfAnotherChemistryFailWhenTheyShowIt(long seed) {
    Random random = new Random(seed);
    PackPlan nickel = PackPlan.builder("crate", Chemistry.NMC, 4, 2, 50_000).build();
    PackPlan iron = PackPlan.builder("crate", Chemistry.LFP, 4, 2, 50_000).build();
    int plateau = 3_250 + random.nextInt(90);
    int charged = 3_850 + random.nextInt(300);

    Reading half =
        Reading.at(1_700_000_000_000L)
            .cells(CellVoltages.ofMv(plateau, plateau, plateau, plateau))
            .socTenthPct(500 + random.nextInt(400))
            .build();
    Reading full =
        Reading.at(1).cells(CellVoltages.ofMv(charged, charged, charged, charged)).build();
    assertThat(failed(nickel, half)).as("seed %d", seed).contains("board-chemistry");
    assertThat(failed(iron, full)).as("seed %d", seed).contains("board-chemistry");
    assertThat(failed(iron, half)).isEmpty();
  }
}
