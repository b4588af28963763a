package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.Random;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SimulatedTime;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** A line that is never quiet leaves no moment for a question, but it is a silence all the same. */
class ChatteringLineTest {
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  @Timeout(60)
  void aLineThatNeverFallsQuietIsTold(long seed) throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    SimulatedTime time = new SimulatedTime(0);
    long chatterNanos = 20_000_000_000L;
    FarSide wire =
        new FarSide() {
          @Override
          public byte[] exchange(byte[] sent) {
            boolean isWell = time.monotonicNanos() < chatterNanos;
            return isWell ? TinyDialogue.answer(1, 3301, 3302) : new byte[0];
          }

          @Override
          public byte[] announced() {
            byte[] bytes = new byte[1 + random.nextInt(20)];
            random.nextBytes(bytes);
            return time.monotonicNanos() < chatterNanos ? new byte[0] : bytes;
          }
        };
    HeardListener heard = new HeardListener();
    LinePoller poller =
        Loopback.poller(wire, time, TinyDialogue.board("house", 1, Duration.ofSeconds(1)), heard);
    while (time.monotonicNanos() < 2 * chatterNanos) {
      poller.step();
    }

    assertThat(heard.gaps()).as("seed %d", seed).isNotEmpty();
    Gap first = heard.gaps().get(0);
    assertThat(first.toMs() - first.fromMs()).as("seed %d", seed).isBetween(3_000L, 9_000L);
  }
}
