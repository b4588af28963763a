package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A process that is stopped in the midst of any wait, while its clocks run on. */
class StandstillTest {
  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
  private final HeardListener heard = new HeardListener();
  private long stopAtNanos = Long.MAX_VALUE;
  private long stopForNanos;

  /** The same clock; whoever waits past the moment of the stop wakes that much later. */
  private final class StoppableTime implements TimeSource {
    @Override
    public long wallMs() {
      return time.wallMs();
    }

    @Override
    public long monotonicNanos() {
      return time.monotonicNanos();
    }

    @Override
    public boolean isWallSure() {
      return true;
    }

    @Override
    public void sleepNanos(long nanos) throws InterruptedException {
      time.sleepNanos(nanos);
      if (time.monotonicNanos() >= stopAtNanos) {
        stopAtNanos = Long.MAX_VALUE;
        time.sleepNanos(stopForNanos);
      }
    }
  }

  private final class Talker implements FarSide {
    private long said;

    @Override
    public byte[] exchange(byte[] sent) {
      return TinyDialogue.answer(1, 3300, 3301);
    }

    @Override
    public byte[] announced() {
      boolean isNew = time.monotonicNanos() / 1_000_000_000L != said;
      said = time.monotonicNanos() / 1_000_000_000L;
      return isNew ? TinyDialogue.answer(1, 3300, 3301) : new byte[0];
    }
  }

  private void run(boolean isListening, double stopAtS, double stopForS)
      throws InterruptedException {
    TimeSource stoppable = new StoppableTime();
    FarSide wire = isListening ? new Talker() : new TinyWire(1);
    LinePoller poller =
        Loopback.poller(
            wire,
            stoppable,
            new BoardOnLine(
                "pack-1",
                new TinyDialogue(1, isListening),
                LineSettings.DEFAULT,
                Duration.ofSeconds(1)),
            heard);
    stopAtNanos = Math.round(stopAtS * 1e9);
    stopForNanos = Math.round(stopForS * 1e9);
    while (time.monotonicNanos() < 90_000_000_000L) {
      poller.step();
    }
  }

  /** Stopped between two polls, in a poll, and while listening. */
  @ParameterizedTest
  @CsvSource({"false, 20.5, 30", "false, 20.003, 30", "true, 20.5, 30", "true, 20.003, 12"})
  void aStoppedProcessLeavesAGapThatNamesTheCause(boolean listens, double atS, double forS)
      throws InterruptedException {
    run(listens, atS, forS);

    assertThat(heard.gaps()).extracting(Gap::cause).containsExactly(Gap.Cause.NOT_RUNNING);
    assertThat(heard.notes()).singleElement().asString().contains("this program stood still");
    int at = heard.entries().indexOf(heard.gaps().get(0));
    LogEntry before = heard.entries().get(at - 1);
    Reading after = (Reading) heard.entries().get(at + 1);
    assertThat(heard.gaps().get(0).fromMs()).isEqualTo(before.timeMs());
    assertThat(heard.gaps().get(0).toMs()).isBetween(after.timeMs() - 1_100, after.timeMs());
    assertThat(heard.gaps().get(0).toMs() - before.timeMs())
        .isBetween(Math.round(forS * 1000), Math.round(forS * 1000) + 1_200);
  }

  /** Shorter than three polls nothing is missed that a gap would be told of. */
  @ParameterizedTest
  @CsvSource({"false, 20.5, 1.5", "true, 20.5, 1.5", "false, 20.5, 0", "true, 20.5, 0"})
  void aShortStopLeavesNone(boolean listens, double atS, double forS) throws InterruptedException {
    run(listens, atS, forS);

    assertThat(heard.gaps()).isEmpty();
  }
}
