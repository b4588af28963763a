package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Boards that talk by themselves at a drawn pace of their own, watched at another drawn pace. */
class ThinnedListeningTest {
  private static final long MS = 1_000_000L;
  private static final LineSettings FAST =
      new LineSettings(115_200, 8, LineSettings.Parity.NONE, 1);

  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
  private final HeardListener heard = new HeardListener();

  private final class Talker implements FarSide {
    private final Random random;
    private final long periodMs;
    private long nextNanos;
    private int said;

    Talker(Random random, long periodMs) {
      this.random = random;
      this.periodMs = periodMs;
    }

    @Override
    public byte[] exchange(byte[] sent) {
      throw new IllegalStateException("a board that is only listened to was asked");
    }

    @Override
    public byte[] announced() {
      if (time.monotonicNanos() < nextNanos) {
        return new byte[0];
      }
      // Three tenths more or less each time.
      nextNanos += (long) (periodMs * MS * (0.7 + 0.6 * random.nextDouble()));
      said++;
      return TinyDialogue.answer(3, 3300, 3301);
    }
  }

  @ParameterizedTest
  @ValueSource(
      longs = {
        1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23, 24
      })
  void aTalkativeBoardIsHeardAtThePaceOfTheConfigAndASlowOneWhole(long seed)
      throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    long paceMs = 1_000L + random.nextInt(30_000);
    boolean isFast = random.nextBoolean();
    long periodMs =
        isFast
            ? 200L + random.nextInt((int) (paceMs / 2))
            : (long) (paceMs * (1.3 + random.nextDouble()));
    Talker talker = new Talker(random, periodMs);
    LinePoller poller =
        Loopback.poller(
            talker,
            time,
            new BoardOnLine("house", new TinyDialogue(3, true), FAST, Duration.ofMillis(paceMs)),
            heard);
    long spanMs = 400 * paceMs;

    while (time.monotonicNanos() < spanMs * MS) {
      poller.step();
    }

    String which =
        "seed %d: speaks each %d ms, wanted each %d ms".formatted(seed, periodMs, paceMs);
    List<Reading> readings = heard.readings();
    assertThat(heard.gaps()).as(which).isEmpty();
    if (isFast) {
      assertThat(readings).as(which).hasSizeBetween(360, 402);
      for (int i = 1; i < readings.size(); i++) {
        long apart = readings.get(i).timeMs() - readings.get(i - 1).timeMs();
        assertThat(apart).as(which).isBetween(paceMs / 3, 2 * paceMs + 2 * periodMs);
      }
    } else {
      assertThat(readings.size()).as(which).isBetween(talker.said - 1, talker.said);
    }
  }
}
