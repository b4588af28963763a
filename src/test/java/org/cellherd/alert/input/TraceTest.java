package org.cellherd.alert.input;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Random;
import org.assertj.core.data.Offset;
import org.cellherd.analysis.state.SavedState;
import org.junit.jupiter.api.Test;

class TraceTest {
  private static final int MINUTE_MS = 60_000;

  private final Trace trace = new Trace(2, MINUTE_MS, 1);

  private void feed(int from, int to, int perSecond) {
    for (int s = from; s < to; s++) {
      int slot = trace.slot(s * 1000L);
      if (slot >= 0) {
        trace.put(slot, 0, s * perSecond);
      }
    }
  }

  @Test
  void aStraightLineHasItsOwnSlope() {
    feed(0, 200, 3);

    assertThat(trace.slopePerMin(0, 45_000, 0).orElseThrow()).isCloseTo(180, Offset.offset(1e-9));
  }

  @Test
  void aMissingColumnHasNone() {
    feed(0, 200, 3);

    assertThat(trace.slopePerMin(1, 0, 0)).isEmpty();
  }

  @Test
  void tooShortASpanHasNone() {
    feed(0, 40, 3);

    assertThat(trace.slopePerMin(0, 45_000, 0)).isEmpty();
    assertThat(trace.slopePerMin(0, 30_000, 0)).isPresent();
  }

  @Test
  void stepsAreCountedWithinTheWindow() {
    feedSteps(200);

    assertThat(trace.slopePerMin(0, 0, 2)).isPresent();
    assertThat(trace.slopePerMin(0, 0, 3)).isEmpty();
  }

  private void feedSteps(int seconds) {
    for (int s = 0; s < seconds; s++) {
      int slot = trace.slot(s * 1000L);
      if (slot >= 0) {
        trace.put(slot, 0, s / 30);
      }
    }
  }

  @Test
  void oneWrongValueOfFiveIsOutvoted() {
    for (int i = 0; i < 5; i++) {
      trace.put(trace.slot(i * 60_000L), 0, i == 4 ? -1080 : 250 + i);
    }

    assertThat(trace.slopePerMin(0, 45_000, 0).orElseThrow()).isCloseTo(1, Offset.offset(1e-9));
  }

  @Test
  void aMissingValueIsLeftOut() {
    for (int i = 0; i < 8; i++) {
      trace.put(trace.slot(i * 60_000L), 0, i == 6 ? Trace.MISSING : 250 + i);
    }

    assertThat(trace.slopePerMin(0, 45_000, 0).orElseThrow()).isCloseTo(1, Offset.offset(1e-9));
  }

  @Test
  void slowSamplesReachBackAsFarAsNeeded() {
    for (int i = 0; i < 10; i++) {
      trace.put(trace.slot(i * 120_000L), 0, i * 2);
    }

    assertThat(trace.slopePerMin(0, 45_000, 0).orElseThrow()).isCloseTo(1, Offset.offset(1e-9));
  }

  @Test
  void aRestoredTraceHasTheSameSlope() {
    feed(0, 100, 3);
    SavedState out = SavedState.of(trace::state);
    Trace copy = new Trace(2, MINUTE_MS, 1);
    out.into(copy::state);

    assertThat(copy.slopePerMin(0, 0, 0)).isEqualTo(trace.slopePerMin(0, 0, 0));
  }

  @Test
  void whatASlopeIsWithinItIs() {
    long seed = Long.getLong("cellherd.seed", System.nanoTime());
    Random random = new Random(seed);
    int within = 0;
    for (int run = 0; run < 2000; run++) {
      Trace drawn = new Trace(1, MINUTE_MS, 10);
      drawn(random, drawn);
      double slope = drawn.slopePerMin(0, 0, 0).orElse(0);
      double limit = 5 * random.nextDouble();
      boolean isWithin = drawn.isWithin(0, limit);
      assertThat(!isWithin || slope <= limit + 1e-9)
          .as("seed %d, run %d: %s is within %s", seed, run, slope, limit)
          .isTrue();
      within += isWithin && slope > limit / 2 ? 1 : 0;
    }
    assertThat(within).as("seed %d: it is not only told of slopes far below", seed).isPositive();
  }

  /** Any pace and noise, with a drift and values that are missing. */
  private static void drawn(Random random, Trace into) {
    int paceMs = 1 + random.nextInt(20_000);
    double drift = random.nextGaussian();
    int noise = 1 + random.nextInt(6);
    long ms = 0;
    for (int i = 0; i < 40; i++) {
      ms += 1 + random.nextInt(paceMs);
      int slot = into.slot(ms);
      if (slot >= 0 && random.nextInt(8) > 0) {
        into.put(slot, 0, (int) Math.round(drift * ms / 2_000) + random.nextInt(noise));
      }
    }
  }
}
