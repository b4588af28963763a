package org.cellherd.alert.rule;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.cellherd.alert.state.Judgement;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;

/** A cell far above the others at the top, drawn: one that stands there, and one that runs. */
class RunnerTest {
  private static final PackPlan PLAN = PackPlan.of("p", Chemistry.LFP, 4, 1, 100_000);
  private static final long START_MS = 1_767_225_600_000L;
  private static final double ON_DELAY_S = 10;

  /** Until the cell has been seen bled and not bled. */
  private static final double SEEN_S = 120;

  private final JudgedRule rule = new JudgedRule(PLAN, Rules.defaults(PLAN), Runner.ID);
  private double stepMv;
  private double noiseMv;
  private double dipMv;
  private double dipS;
  private double pollS;
  private double overMv;

  private Random drawn(int seed) {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    stepMv = random.nextBoolean() ? 1 : 0.1;
    noiseMv = 0.2 + 1.8 * random.nextDouble();
    dipMv = random.nextBoolean() ? 6 * random.nextDouble() : 0;
    dipS = 4 + 40 * random.nextDouble();
    pollS = 1 + 4 * random.nextDouble();
    overMv = 82 + 70 * random.nextDouble();
    return random;
  }

  /** Second at which the alert would be raised; past the end where it would not be. */
  private double raisedAt(Random random, double seconds, DoubleUnaryOperator riseMv) {
    double since = Double.NaN;
    for (double t = 0; t < seconds; t += pollS) {
      double dip = t % (2 * dipS) < dipS ? dipMv : 0;
      double mv = 3_380 + overMv + riseMv.applyAsDouble(t) - dip + noiseMv * random.nextGaussian();
      int tenth = (int) (Math.round(mv / stepMv) * stepMv * 10);
      Reading reading =
          Reading.at(START_MS + Math.round(1000 * t))
              .cells(CellVoltages.ofTenthMv(tenth, 33_800, 33_800, 33_800))
              .currentMa(3_000)
              .build();
      Judgement said = rule.judge(reading).get(1);
      if (said != null && said.level() == 0) {
        since = Double.NaN;
      } else if (said != null && Double.isNaN(since) && t > SEEN_S) {
        since = t;
      }
      if (t - since >= ON_DELAY_S) {
        return t;
      }
    }
    return Double.POSITIVE_INFINITY;
  }

  @RepeatedTest(60)
  void aCellThatStandsFarAboveTheOthersWakesNobody(RepetitionInfo info) {
    Random random = drawn(info.getCurrentRepetition());

    assertThat(raisedAt(random, 3_600, t -> 0)).isInfinite();
  }

  @RepeatedTest(60)
  void aCellThatRunsIsToldWithinAMinute(RepetitionInfo info) {
    Random random = drawn(info.getCurrentRepetition());
    double mvPerS = (20 + 60 * random.nextDouble()) / 60;
    double begins = SEEN_S + 300 * random.nextDouble();

    double raised = raisedAt(random, begins + 120, t -> Math.max(0, t - begins) * mvPerS);

    assertThat(raised).isBetween(begins, begins + 60);
  }
}
