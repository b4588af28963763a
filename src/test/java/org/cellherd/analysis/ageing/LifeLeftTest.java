package org.cellherd.analysis.ageing;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.api.RepeatedTest;
import org.junit.jupiter.api.RepetitionInfo;

/** Years left by the model, for drawn uses and states of health. */
class LifeLeftTest {
  private static final double TARGET = 0.2;

  @RepeatedTest(200)
  void moreCapacityNeverLeavesLessLife(RepetitionInfo drawn) {
    Random random = new Random(drawn.getCurrentRepetition());
    Usage use =
        new Usage(
            10 + 35 * random.nextDouble(),
            random.nextDouble(),
            random.nextDouble(),
            0.65 * random.nextDouble(),
            2 * random.nextDouble());
    double loss = -0.15 + 0.35 * random.nextDouble();
    double lessLost = loss - 0.1 * random.nextDouble();

    Interval years = LifeLeft.byModel(use, loss, TARGET);

    assertThat(years.low()).isBetween(1e-6, years.mid());
    assertThat(years.mid()).isLessThanOrEqualTo(years.high());
    assertThat(LifeLeft.byModel(use, lessLost, TARGET).mid())
        .isGreaterThanOrEqualTo(years.mid() - 0.01);
  }
}
