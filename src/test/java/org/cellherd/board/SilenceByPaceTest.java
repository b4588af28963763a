package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Random;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.Priority;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Boards that are asked, or talk by themselves, at any pace, with readings missing or not, charging
 * near the top: no word of silence while they live, and one in time when the line dies in any way.
 */
class SilenceByPaceTest {
  private static final long START_MS = 1_767_225_600_000L;
  private static final int WARM_UP = 1500;

  /** How a line dies. */
  private enum Death {
    NONE,
    PORT_MISSING,
    NO_BYTES,
    BAD_CHECKS,
    RESET
  }

  /** One board at one pace, a part of its readings missing. */
  private static final class Board implements FarSide {
    final SimulatedTime time;
    final Random random;
    final long paceNanos;
    final boolean isListening;
    final double missing;
    Death death = Death.NONE;
    long diedNanos;
    private long slot = -1;
    private long drawnNanos = Long.MIN_VALUE / 2;
    private boolean isMissing;

    Board(SimulatedTime time, long seed, double missing) {
      this.time = time;
      this.random = new Random(seed * 0x9E3779B97F4A7C15L);
      this.missing = missing;
      this.isListening = random.nextBoolean();
      double least = isListening ? 1 : 0.5;
      double most = isListening ? 43 : 60;
      double seconds = least * Math.pow(most / least, random.nextDouble());
      this.paceNanos = Math.round(seconds * 1000) * 1_000_000L;
    }

    @Override
    public byte[] exchange(byte[] sent) {
      // Asked again in the same poll it is as mute as before.
      boolean isNew = time.monotonicNanos() - drawnNanos > paceNanos * 9 / 10;
      drawnNanos = isNew ? time.monotonicNanos() : drawnNanos;
      return answer(isNew ? slot + 1 : slot);
    }

    @Override
    public byte[] announced() {
      long now = time.monotonicNanos() / paceNanos;
      return isListening && now != slot ? answer(now) : new byte[0];
    }

    private byte[] answer(long now) {
      if (now != slot) {
        slot = now;
        isMissing = random.nextDouble() < missing;
      }
      if (isMissing || death == Death.NO_BYTES || death == Death.RESET) {
        return new byte[0];
      }
      byte[] bytes = TinyDialogue.answer(1, mv(), mv(), mv() + 40, mv());
      bytes[5] ^= (byte) (death == Death.BAD_CHECKS ? 1 : 0);
      return bytes;
    }

    private int mv() {
      return 3440 + random.nextInt(4);
    }

    @Override
    public long delayNanos() {
      return 20_000_000L;
    }

    @Override
    public boolean isPlugged() {
      boolean isOut = death == Death.RESET && time.monotonicNanos() - diedNanos < 700_000_000L;
      return death != Death.PORT_MISSING && !isOut;
    }
  }

  /** The night of a board of its own. */
  private static final class Night extends LineNight {
    final Board board;

    Night(long seed, double missing) {
      this(new Board(new SimulatedTime(START_MS), seed, missing));
    }

    private Night(Board board) {
      // Listened to, the config says nothing of the board's own pace.
      super(
          board.time,
          new LoopbackLink("loopback", board, board.time),
          new TinyDialogue(1, board.isListening),
          LineSettings.DEFAULT,
          board.isListening ? 1000 : board.paceNanos / 1_000_000);
      this.board = board;
    }

    @Override
    public String toString() {
      return String.format(
          "%s every %.1f s, %.0f %% missing, %s",
          board.isListening ? "listened to" : "asked",
          board.paceNanos / 1e9,
          100 * board.missing,
          board.death);
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void aBoardThatLosesAFifthOfItsReadingsIsNeverCalledSilent(long seed)
      throws InterruptedException {
    Night night = new Night(seed, 0.2);

    night.runFor(Duration.ofHours(10).toNanos());

    assertThat(night.heardMs).hasSizeGreaterThan(400);
    assertThat(night.told).as("seed %d: %s", seed, night).isEmpty();
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
  void aLineThatDiesIsToldOnceInTimeAndIsOverOnReturn(long seed) throws InterruptedException {
    Night night = new Night(seed, seed % 2 == 0 ? 0 : 0.2);
    Board board = night.board;
    night.runFor((long) (WARM_UP * board.paceNanos * (1 + board.random.nextDouble())));
    assertThat(night.told).as("seed %d: %s", seed, night).isEmpty();
    long limitMs = 3 * night.paceMs();
    long lastMs = night.heardMs.get(night.heardMs.size() - 1);

    board.diedNanos = night.time.monotonicNanos();
    board.death = Death.values()[1 + board.random.nextInt(Death.values().length - 1)];
    night.runFor(4 * limitMs * 1_000_000L + board.random.nextInt(1800) * 1_000_000_000L);

    List<AlertEvent> raised = night.told(Change.RAISED);
    assertThat(raised).as("seed %d: %s", seed, night).hasSize(1);
    AlertEvent event = raised.get(0);
    assertThat(event.alert().priority()).isEqualTo(Priority.CRITICAL);
    // A gap that lasts is told again after a tenth; an answer is waited for three seconds.
    long latestMs = Math.max(limitMs, 3_000) + limitMs / 10 + 1_000;
    assertThat(event.alert().timeMs() - lastMs)
        .as("seed %d: %s", seed, night)
        .isBetween(limitMs, latestMs + board.paceNanos / 1_000_000);

    board.death = Death.NONE;
    night.runFor(2 * limitMs * 1_000_000L + 60_000_000_000L + 3 * board.paceNanos);

    assertThat(night.told(Change.RAISED)).as("seed %d: %s", seed, night).hasSize(1);
    assertThat(night.told(Change.RETURNED)).as("seed %d: %s", seed, night).hasSize(1);
  }

  /** A good line loses an answer now and then, and nobody is woken for that. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void aGoodLineThatLosesAnAnswerIsNotCalledSilent(long seed) throws InterruptedException {
    Night night = new Night(seed, 0.005);

    night.runFor(1000 * night.board.paceNanos);

    assertThat(night.told).as("seed %d: %s", seed, night).isEmpty();
  }

  /** Soon after a start, too: as soon as lost answers do not explain it. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20})
  void aLineThatDiesSoonAfterTheStartIsToldInTime(long seed) throws InterruptedException {
    Night night = new Night(seed, 0);
    Board board = night.board;
    int readings = 4 + board.random.nextInt(200);
    while (night.heardMs.size() < readings) {
      night.poller.step();
    }
    board.diedNanos = night.time.monotonicNanos();
    board.death = board.random.nextBoolean() ? Death.PORT_MISSING : Death.NO_BYTES;
    double paceS = board.paceNanos / 1e9;
    night.runFor((long) ((7 * paceS + 30) * 1e9));

    assertThat(night.told(Change.RAISED)).as("seed %d: %s", seed, night).hasSize(1);
    long lastMs = night.heardMs.get(readings - 1);
    double tookS = (night.told.get(0).alert().timeMs() - lastMs) / 1e3;
    // Of n readings none was lost: the next is with a chance of 1 in n + 1 at most (rule of
    // succession); so many in a row once in 4,096 times. Each of them is waited for.
    double lost = Math.max(2, Math.log(4_096) / Math.log(readings));
    boolean isGone = board.death == Death.PORT_MISSING;
    double latestS = isGone ? 3 * paceS : Math.max(3, lost) * paceS + (lost - 1) * 3;
    assertThat(tookS)
        .as("seed %d, %d readings: %s", seed, readings, night)
        .isBetween(Math.min(3 * paceS, latestS) - 0.1, 1.1 * latestS + 1 + paceS);
  }

  /** Each start learns anew what is usual; one in a hundred may be wrong on a line so bad. */
  @Test
  void aStartOnABadLineSeldomCallsItSilent() throws InterruptedException {
    int wrong = 0;
    for (long seed = 1; seed <= 300; seed++) {
      Night night = new Night(seed, 0.2);
      night.runFor(150 * night.board.paceNanos);
      wrong += night.told.isEmpty() ? 0 : 1;
    }
    assertThat(wrong).isLessThanOrEqualTo(3);
  }

  /** From its first second on: what was not heard yet is not silent, and no line is made anew. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16})
  void aBoardThatLivesIsNotCalledSilentAtTheStart(long seed) throws InterruptedException {
    Night night = new Night(seed, 0);
    // One that talks by itself has just done so.
    night.board.slot = 0;

    night.runFor(20 * night.board.paceNanos);

    assertThat(night.notes).as("seed %d: %s", seed, night).isEmpty();
    assertThat(night.gaps).as("seed %d: %s", seed, night).isZero();
  }
}
