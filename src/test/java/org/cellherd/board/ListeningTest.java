package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;

/** A board that talks by itself, each second. */
class ListeningTest {
  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
  private final HeardListener heard = new HeardListener();
  private final Talker talker = new Talker();

  /** Says something each second, unless mute. */
  private final class Talker implements FarSide {
    private long nextNanos = 100_000_000L;
    private boolean isMute;
    private boolean isNoisy;
    private boolean isGarbled;

    @Override
    public byte[] exchange(byte[] sent) {
      throw new IllegalStateException("a board that is only listened to was asked");
    }

    @Override
    public byte[] announced() {
      if (time.monotonicNanos() < nextNanos) {
        return new byte[0];
      }
      nextNanos += 1_000_000_000L;
      if (isMute) {
        return new byte[0];
      }
      byte[] answer = TinyDialogue.answer(3, 3300, 3301);
      answer[5] ^= (byte) (isGarbled ? 1 : 0);
      return isNoisy ? TinyWire.concat(new byte[] {0x11, 0x5A, 0x22}, answer) : answer;
    }
  }

  private LinePoller poller(BoardListener listener) {
    return poller(listener, 1);
  }

  private LinePoller poller(BoardListener listener, int paceSeconds) {
    return Loopback.poller(
        talker,
        time,
        new BoardOnLine(
            "house",
            new TinyDialogue(3, true),
            LineSettings.DEFAULT,
            Duration.ofSeconds(paceSeconds)),
        listener);
  }

  private void runFor(LinePoller poller, long seconds) throws InterruptedException {
    long until = time.monotonicNanos() + seconds * 1_000_000_000L;
    while (time.monotonicNanos() < until) {
      poller.step();
    }
  }

  @Test
  void eachMessageIsAReadingAndNothingIsEverSent() throws InterruptedException {
    LinePoller poller = poller(heard);

    runFor(poller, 60);

    assertThat(heard.readings()).hasSizeBetween(59, 61);
    assertThat(heard.gaps()).isEmpty();
    assertThat(poller.counts("house").answered()).isEqualTo(heard.readings().size());
  }

  @Test
  void noiseBeforeAMessageIsThrownAwayAndCounted() throws InterruptedException {
    talker.isNoisy = true;
    LinePoller poller = poller(heard);

    runFor(poller, 30);

    assertThat(heard.readings()).hasSizeGreaterThan(20);
    assertThat(poller.counts("house").bytesThrownAway()).isGreaterThan(25);
  }

  @Test
  void silenceOfABoardThatTalksByItselfIsAGap() throws InterruptedException {
    LinePoller poller = poller(heard, 2);
    runFor(poller, 10);
    talker.isMute = true;
    runFor(poller, 60);
    talker.isMute = false;
    runFor(poller, 10);

    assertThat(heard.gaps()).hasSizeGreaterThan(5).allMatch(g -> g.cause() == Gap.Cause.NO_BYTES);
    Gap first = heard.gaps().get(0);
    // Three times the two seconds that the config states, which is more than the board's own pace.
    assertThat(first.toMs() - first.fromMs()).isBetween(6_000L, 6_500L);
    assertThat(heard.readings()).hasSizeGreaterThan(7);
    List<LogEntry> entries = heard.entries();
    assertThat(entries.get(entries.size() - 1)).isIn(heard.readings());
  }

  @Test
  void bytesWithoutAFrameAreToldAsSuch() throws InterruptedException {
    talker.isGarbled = true;

    runFor(poller(heard), 30);

    assertThat(heard.readings()).isEmpty();
    assertThat(heard.gaps()).isNotEmpty().allMatch(g -> g.cause() == Gap.Cause.BAD_CHECKSUM);
  }

  @Test
  void aListenerThatFailsDoesNotEndTheWatch() throws InterruptedException {
    HeardListener failing =
        new HeardListener() {
          private int calls;

          @Override
          public synchronized void heard(String pack, LogEntry entry) {
            if (calls++ == 0) {
              throw new IllegalStateException("first one fails");
            }
            super.heard(pack, entry);
          }
        };
    LinePoller poller = poller(failing);
    Thread thread = new Thread(poller, "poller");
    thread.start();

    assertThat(failing.await(() -> failing.readings().size() >= 3)).isTrue();
    poller.stop();
    thread.join(5000);

    assertThat(thread.isAlive()).isFalse();
  }
}
