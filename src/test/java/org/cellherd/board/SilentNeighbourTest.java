package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Drawn lines of four boards of which one is absent or slow. The clock is driven; the same line
 * without the fourth board is the measure.
 */
class SilentNeighbourTest {
  private static final long SECOND = 1_000_000_000L;

  /** When each pack was heard, s. */
  private static final class Ears extends HeardListener {
    private final List<Double> others = new ArrayList<>();
    private final List<Double> fourth = new ArrayList<>();

    @Override
    public synchronized void heard(String pack, LogEntry entry) {
      if (entry instanceof Reading reading) {
        (pack.equals("4") ? fourth : others).add(reading.timeMs() / 1000.0);
      }
    }
  }

  /** Boards 1 to 3 think for {@code quickMs}, board 4 for {@code slowMs} where it is there. */
  private static final class SharedWire implements FarSide {
    private final SimulatedTime time;
    private final int quickMs;
    private final int slowMs;
    private final int absentFromS;
    private final int absentToS;
    private int asked;

    SharedWire(SimulatedTime time, int quickMs, int slowMs, int absentFromS, int absentToS) {
      this.time = time;
      this.quickMs = quickMs;
      this.slowMs = slowMs;
      this.absentFromS = absentFromS;
      this.absentToS = absentToS;
    }

    @Override
    public byte[] exchange(byte[] sent) {
      asked = sent[1];
      long now = time.monotonicNanos() / SECOND;
      boolean isAbsent = asked == 4 && now >= absentFromS && now < absentToS;
      return isAbsent ? new byte[0] : TinyDialogue.answer(asked, 3301, 3302, 3303, 3304);
    }

    @Override
    public long delayNanos() {
      return (asked == 4 ? slowMs : quickMs) * 1_000_000L;
    }
  }

  private static Ears run(
      FarSide wire, SimulatedTime time, Duration pace, int seconds, int... packs)
      throws InterruptedException {
    Ears ears = new Ears();
    List<BoardOnLine> boards =
        Arrays.stream(packs)
            .mapToObj(
                a ->
                    new BoardOnLine(
                        String.valueOf(a), new TinyDialogue(a, false), LineSettings.DEFAULT, pace))
            .toList();
    LinePoller poller =
        new LinePoller(new LoopbackLink("loopback", wire, time), boards, LineClock.of(time), ears);
    while (time.monotonicNanos() < seconds * SECOND) {
      poller.step();
    }
    return ears;
  }

  private static Duration pace(Random random) {
    int[] paces = {1, 250, 1000, 2000, 5000};
    return Duration.ofMillis(paces[random.nextInt(paces.length)]);
  }

  private static long within(List<Double> times, double from, double to) {
    return times.stream().filter(t -> t >= from && t < to).count();
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void anAbsentBoardCostsTheOthersAtMostATenth(long seed) throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Duration pace = pace(random);
    int quickMs = 5 + random.nextInt(60);
    int[] order = random.nextBoolean() ? new int[] {4, 1, 2, 3} : new int[] {1, 2, 3, 4};
    int leavesAtS = random.nextBoolean() ? 0 : 61;
    int end = leavesAtS + 600;
    SimulatedTime alone = new SimulatedTime(0);
    SimulatedTime beside = new SimulatedTime(0);

    Ears measure = run(new SharedWire(alone, quickMs, quickMs, 0, 0), alone, pace, end, 1, 2, 3);
    Ears ears =
        run(new SharedWire(beside, quickMs, quickMs, leavesAtS, end), beside, pace, end, order);

    // A board heard before has its whole patience, 3 s, once: then a minute is judged, not half.
    for (int[] window : new int[][] {{0, 30}, {0, 60}, {30, 90}, {300, 360}, {0, 600}}) {
      if (leavesAtS > 0 && window[1] == 30) {
        continue;
      }
      double from = leavesAtS + window[0];
      double to = leavesAtS + window[1];
      long right = within(measure.others, from, to);
      String which =
          "seed %d, pace %s, thinks %d ms, order %s, from %.0f to %.0f s"
              .formatted(seed, pace, quickMs, Arrays.toString(order), from, to);
      // One poll of each board may fall to either side of a window's border.
      assertThat(within(ears.others, from, to))
          .as(which)
          .isGreaterThanOrEqualTo((long) (0.9 * right) - 3);
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void aSlowBoardIsHeardHoweverBusyTheOthersAre(long seed) throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Duration pace = pace(random);
    int slowMs = 400 + random.nextInt(2500);
    int absentToS = random.nextInt(3) * 60;
    SimulatedTime time = new SimulatedTime(0);

    Ears ears = run(new SharedWire(time, 20, slowMs, 20, absentToS), time, pace, 300, 1, 2, 3, 4);

    String which = "seed %d, pace %s, thinks %d ms, away 20 to %d s";
    assertThat(within(ears.fourth, absentToS, absentToS + 120))
        .as(which.formatted(seed, pace, slowMs, absentToS))
        .isPositive();
  }

  /** Boards that are asked faster one after another make the line's rounds longer. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void aFullLineOnWhichPollsChangeHasNoGaps(long seed) throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    SimulatedTime time = new SimulatedTime(0);
    HeardListener ears = new HeardListener();
    int count = 4 + random.nextInt(20);
    int answersMs = 20 + random.nextInt(380);
    List<BoardOnLine> boards = new ArrayList<>();
    for (int a = 1; a <= count; a++) {
      boards.add(
          new BoardOnLine(
              String.valueOf(a),
              new TinyDialogue(a, false),
              LineSettings.DEFAULT,
              Duration.ofSeconds(10)));
    }
    SharedWire wire = new SharedWire(time, answersMs, answersMs, 0, 0);
    LinePoller poller =
        new LinePoller(new LoopbackLink("loopback", wire, time), boards, LineClock.of(time), ears);
    for (long end = 700 * SECOND; end < 3_000 * SECOND; end += random.nextInt(200) * SECOND) {
      while (time.monotonicNanos() < end) {
        poller.step();
      }
      // One alone, or all of a bank at once.
      int first = 1 + random.nextInt(count);
      int last = random.nextBoolean() ? first : count;
      Duration pace = Duration.ofSeconds(random.nextBoolean() ? 10 : 1);
      for (int a = last == first ? first : 1; a <= last; a++) {
        poller.setPace(String.valueOf(a), pace);
      }
    }

    assertThat(ears.gaps()).as("seed %d, %d boards, %d ms", seed, count, answersMs).isEmpty();
  }
}
