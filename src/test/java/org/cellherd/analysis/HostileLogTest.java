package org.cellherd.analysis;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatCode;

import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.analysis.engine.PackAnalysis;
import org.cellherd.analysis.state.SavedState;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Chemistry;
import org.cellherd.pack.ClockStep;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.Temperatures;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Whatever a board prints, the analyses go on, and a saved state goes on alike. */
class HostileLogTest {
  private static final int[] EXTREMES = {
    0, 1, -1, 32_500, 33_000, 34_500, 36_500, 65_535, Integer.MAX_VALUE, Integer.MIN_VALUE + 1
  };

  @ParameterizedTest
  @MethodSource("seeds")
  void anyNumbersGiveFindingsOrSilence(long seed) {
    Random random = new Random(seed);
    Chemistry chemistry = List.of(Chemistry.values()).get((int) (seed % Chemistry.values().length));
    PackPlan plan = PackPlan.of("p", chemistry, 1 + random.nextInt(5), 1, 20_000);
    PackAnalysis analysis = new PackAnalysis(plan, AnalysisSettings.of(plan));
    long now = 1_800_000_000_000L;
    for (int i = 0; i < 4_000; i++) {
      now += step(random);
      LogEntry entry = entry(random, now);
      assertThatCode(() -> analysis.accept(entry)).doesNotThrowAnyException();
      if (i % 50 == 0) {
        assertThatCode(analysis::standing).doesNotThrowAnyException();
      }
    }

    PackAnalysis second = new PackAnalysis(plan, AnalysisSettings.of(plan));
    state(analysis).into(second::state);
    assertThat(state(second)).isEqualTo(state(analysis));
  }

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 12));
  }

  private static SavedState state(PackAnalysis analysis) {
    return SavedState.of(analysis::state);
  }

  private static long step(Random random) {
    return switch (random.nextInt(20)) {
      case 0 -> 0;
      case 1 -> -3_600_000L;
      case 2 -> 7 * 86_400_000L;
      case 3 -> 4 * 3_600_000L;
      default -> 1_000;
    };
  }

  private static LogEntry entry(Random random, long now) {
    return switch (random.nextInt(40)) {
      case 0 -> new Gap(now - 60_000, now, Gap.Cause.NO_BYTES);
      case 1 -> new SessionStart(now, random.nextInt(100), random.nextBoolean(), false);
      case 2 -> new ClockStep(now, now + 1_000L * random.nextInt(100_000));
      default -> reading(random, now);
    };
  }

  private static Reading reading(Random random, long now) {
    Reading.Builder reading = Reading.at(now);
    if (random.nextInt(10) > 0) {
      int[] cells = new int[random.nextInt(7)];
      for (int i = 0; i < cells.length; i++) {
        cells[i] = number(random, 33_000);
      }
      reading.cells(CellVoltages.ofTenthMv(cells));
    }
    if (random.nextInt(10) > 0) {
      reading.currentMa(number(random, 5_000));
    }
    if (random.nextInt(3) > 0) {
      reading.packMv(number(random, 13_200));
    }
    if (random.nextInt(3) > 0) {
      reading.temperatures(Temperatures.ofTenthC(number(random, 250), number(random, 180)));
    }
    if (random.nextInt(4) == 0) {
      reading.bleedMask(random.nextLong()).chargeSwitch(random.nextBoolean());
    }
    return reading.build();
  }

  private static int number(Random random, int usual) {
    return random.nextInt(6) == 0
        ? EXTREMES[random.nextInt(EXTREMES.length)]
        : usual + random.nextInt(200) - 100;
  }
}
