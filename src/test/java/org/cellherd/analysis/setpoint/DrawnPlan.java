package org.cellherd.analysis.setpoint;

import java.util.Arrays;
import java.util.List;
import java.util.OptionalInt;
import java.util.Random;
import org.cellherd.pack.CellLimits;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.PackPlan.BoardRating;
import org.cellherd.pack.PackPlan.CellRating;
import org.cellherd.pack.PackPlan.FuseRating;
import org.cellherd.pack.PackPlan.Wire;

/** Plans as people may type them, sensible or not. */
public final class DrawnPlan {

  private final Random random;

  private DrawnPlan(long seed) {
    random = new Random(seed);
  }

  /** The plan of a seed. */
  public static PackPlan of(long seed) {
    return new DrawnPlan(seed).draw();
  }

  private PackPlan draw() {
    Chemistry chemistry = List.of(Chemistry.values()).get(random.nextInt(5));
    int series = 1 + random.nextInt(24);
    int parallel = 1 + random.nextInt(12);
    long rated = 500L + random.nextInt(400_000);
    PackPlan.Builder plan = PackPlan.builder("p", chemistry, series, parallel, rated);
    CellLimits limits = random.nextInt(3) == 0 ? limits(chemistry) : chemistry.limits();
    plan.limits(limits);
    if (random.nextBoolean()) {
      int least = limits.nominalMv();
      int perCell = least + random.nextInt(limits.cutOffHighMv() + 100 - least);
      plan.chargeMv(perCell * series + random.nextInt(series));
    }
    plan.partialCharge(random.nextInt(4) == 0);
    plan.cell(new CellRating(maybe(50_000), maybe(90_000), maybe(50_000)));
    maybe(200_000).ifPresent(plan::loadMa);
    maybe(200_000).ifPresent(plan::chargerMa);
    if (random.nextBoolean()) {
      plan.fuse(
          new FuseRating(1 + random.nextInt(250_000), OptionalInt.empty(), maybe(1000, 90_000)));
    }
    if (random.nextBoolean()) {
      plan.wire(new Wire(maybe(200_000), maybe(1200), maybe(5000)));
    }
    if (random.nextBoolean()) {
      plan.board(
          new BoardRating(
              "b",
              maybe(200_000),
              maybe(300_000),
              maybe(1000, 4500),
              maybe(500, 3500),
              maybe(500),
              near(limits)));
    }
    return plan.build();
  }

  /** Levels in falling order, some of them equal. */
  private CellLimits limits(Chemistry chemistry) {
    CellLimits usual = chemistry.limits();
    int[] mv = {usual.cutOffHighMv(), usual.warnHighMv(), usual.fullMv(), usual.kneeMv()};
    for (int i = 0; i < mv.length; i++) {
      mv[i] = Math.max(chemistry.plateau().blindToMv() + 1, mv[i] - random.nextInt(300));
    }
    Arrays.sort(mv);
    int low = usual.cutOffLowMv() + random.nextInt(usual.nominalMv() - usual.cutOffLowMv());
    int warn = low + random.nextInt(usual.nominalMv() - low);
    return new CellLimits(mv[3], mv[2], mv[1], mv[0], usual.nominalMv(), warn, low);
  }

  private OptionalInt near(CellLimits limits) {
    return random.nextBoolean()
        ? OptionalInt.empty()
        : OptionalInt.of(limits.nominalMv() + random.nextInt(800));
  }

  private OptionalInt maybe(int most) {
    return maybe(1, most);
  }

  private OptionalInt maybe(int least, int most) {
    return random.nextBoolean()
        ? OptionalInt.empty()
        : OptionalInt.of(least + random.nextInt(most));
  }
}
