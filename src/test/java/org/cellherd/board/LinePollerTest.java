package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.time.Duration;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Refusal;
import org.junit.jupiter.api.Test;

class LinePollerTest {
  private static final long START_MS = 1_767_225_600_000L;

  private final SimulatedTime time = new SimulatedTime(START_MS);
  private final TinyWire wire = new TinyWire(1, 2);
  private final HeardListener heard = new HeardListener();

  private LinePoller poller(int... addresses) {
    List<BoardOnLine> boards =
        Arrays.stream(addresses)
            .mapToObj(
                a ->
                    new BoardOnLine(
                        "pack-" + a,
                        new TinyDialogue(a, false),
                        LineSettings.DEFAULT,
                        Duration.ofSeconds(1)))
            .toList();
    return new LinePoller(
        new LoopbackLink("loopback", wire, time), boards, LineClock.of(time), heard);
  }

  private void runFor(LinePoller poller, long seconds) throws InterruptedException {
    long until = time.monotonicNanos() + seconds * 1_000_000_000L;
    while (time.monotonicNanos() < until) {
      poller.step();
    }
  }

  @Test
  void anHourAtOneHertzGivesAReadingEachSecondWithoutDrift() throws InterruptedException {
    runFor(poller(1), 3600);

    assertThat(heard.readings()).hasSizeBetween(3600, 3601);
    assertThat(heard.gaps()).isEmpty();
    assertThat(heard.readings().get(3599).timeMs() - heard.readings().get(0).timeMs())
        .isBetween(3_598_990L, 3_599_000L);
  }

  @Test
  void twoRunsAreAlikeToTheByte() throws InterruptedException {
    runFor(poller(1, 2), 60);
    List<LogEntry> first = heard.entries();
    SimulatedTime again = new SimulatedTime(START_MS);
    HeardListener heardAgain = new HeardListener();
    LinePoller second =
        new LinePoller(
            new LoopbackLink("loopback", new TinyWire(1, 2), again),
            List.of(
                TinyDialogue.board("a", 1, Duration.ofSeconds(1)),
                TinyDialogue.board("b", 2, Duration.ofSeconds(1))),
            LineClock.of(again),
            heardAgain);
    while (again.monotonicNanos() < 60_000_000_000L) {
      second.step();
    }

    assertThat(heardAgain.entries()).isEqualTo(first);
  }

  @Test
  void aCorruptedAnswerIsAskedForAgain() throws InterruptedException {
    wire.corruptNext = 1;
    LinePoller poller = poller(1);

    runFor(poller, 1);

    assertThat(heard.readings()).isNotEmpty();
    assertThat(poller.counts("pack-1").retries()).isEqualTo(1);
    assertThat(poller.counts("pack-1").refusals()).containsEntry(Refusal.Reason.CHECKSUM, 1L);
  }

  @Test
  void anotherBoardsAnswerIsPassedOverAndOursTaken() throws InterruptedException {
    wire.strangerNext = 1;
    LinePoller poller = poller(1);

    runFor(poller, 1);

    assertThat(heard.readings().get(0).cells().mv(4)).isEqualTo(3303);
    assertThat(poller.counts("pack-1").retries()).isZero();
    assertThat(poller.counts("pack-1").refusals()).isEqualTo(Map.of(Refusal.Reason.ADDRESS, 1L));
  }

  @Test
  void anEchoingLineStillGivesReadings() throws InterruptedException {
    wire.hasEcho = true;

    runFor(poller(1), 10);

    assertThat(heard.readings()).hasSizeBetween(10, 11);
  }

  @Test
  void threeMissedPollsMakeAGapThatIsRepeatedAsItGrows() throws InterruptedException {
    LinePoller poller = poller(1);
    runFor(poller, 5);
    long last = heard.readings().get(heard.readings().size() - 1).timeMs();
    wire.isMute = true;

    runFor(poller, 65);

    assertRepeatedInTime(heard.gaps());
    assertThat(heard.gaps()).allMatch(g -> g.fromMs() == last && g.cause() == Gap.Cause.NO_BYTES);
    assertThat(heard.gaps().get(0).toMs() - last).isBetween(2_500L, 5_500L);
  }

  /** Each time it has grown by a tenth, after a poll in vain; at least every ten seconds. */
  private static void assertRepeatedInTime(List<Gap> gaps) {
    assertThat(gaps).hasSizeGreaterThan(5);
    for (int i = 1; i < gaps.size(); i++) {
      Gap before = gaps.get(i - 1);
      long grown = gaps.get(i).toMs() - before.toMs();
      long tenth = Math.max(500, (before.toMs() - before.fromMs()) / 10);
      assertThat(grown)
          .isBetween(Math.min(10_000, tenth), Math.min(10_000, tenth * 10 / 9) + 1_000);
    }
  }

  @Test
  void anEchoAloneIsSilence() throws InterruptedException {
    wire.isMute = true;
    wire.hasEcho = true;

    runFor(poller(1), 10);

    assertThat(heard.gaps()).isNotEmpty().allMatch(g -> g.cause() == Gap.Cause.NO_BYTES);
  }

  @Test
  void brokenFramesOnlyMakeAGapOfBadChecksum() throws InterruptedException {
    wire.corruptNext = Integer.MAX_VALUE;

    runFor(poller(1), 10);

    assertThat(heard.gaps()).isNotEmpty().allMatch(g -> g.cause() == Gap.Cause.BAD_CHECKSUM);
  }

  @Test
  void aDecoderThatAlwaysFailsLeavesAGapNotSilence() throws InterruptedException {
    TinyDialogue dialogue = new TinyDialogue(1, false);
    dialogue.hasDefect = true;
    BoardOnLine board =
        new BoardOnLine("pack-1", dialogue, LineSettings.DEFAULT, Duration.ofSeconds(1));
    LinePoller poller = Loopback.poller(wire, time, board, heard);
    Thread thread = new Thread(poller, "poller");
    thread.start();

    assertThat(heard.await(() -> !heard.gaps().isEmpty())).isTrue();
    dialogue.hasDefect = false;
    assertThat(heard.await(() -> !heard.readings().isEmpty())).isTrue();
    poller.stop();
    thread.join(5000);

    assertThat(heard.gaps()).allMatch(g -> g.cause() == Gap.Cause.UNKNOWN);
    assertThat(heard.notes()).anyMatch(n -> n.startsWith("heard again"));
  }

  @Test
  void afterHoursOfSilenceABoardIsHeardWithinSeconds() throws InterruptedException {
    LinePoller poller = poller(1);
    wire.isMute = true;
    runFor(poller, 6 * 3600);
    wire.isMute = false;
    long woke = time.wallMs();

    runFor(poller, 12);

    assertThat(heard.readings().get(0).timeMs() - woke).isLessThan(11_000);
    assertThat(heard.gaps().get(heard.gaps().size() - 1).toMs())
        .isEqualTo(heard.readings().get(0).timeMs());
  }

  @Test
  void aPulledCableIsAGapAtOnceAndTheLineComesBack() throws InterruptedException {
    LinePoller poller = poller(1);
    runFor(poller, 3);
    wire.isPlugged = false;
    runFor(poller, 120);
    assertThat(heard.gaps().get(0).cause()).isEqualTo(Gap.Cause.PORT_MISSING);
    assertThat(heard.gaps().get(0).toMs() - START_MS).isLessThan(4_100);
    assertRepeatedInTime(heard.gaps());
    assertThat(heard.notes()).containsExactly("loopback: cable is pulled");
    wire.isPlugged = true;
    int before = heard.readings().size();

    runFor(poller, 31);

    assertThat(heard.readings().size()).isGreaterThan(before);
  }

  @Test
  void anotherBoardAfterTheReconnectIsTold() throws InterruptedException {
    TinyDialogue dialogue = new TinyDialogue(1, false);
    dialogue.identity = "serial 17";
    LinePoller poller =
        Loopback.poller(
            wire,
            time,
            new BoardOnLine("house", dialogue, LineSettings.DEFAULT, Duration.ofSeconds(1)),
            heard);
    runFor(poller, 3);
    wire.isPlugged = false;
    runFor(poller, 3);
    wire.isPlugged = true;
    dialogue.identity = "serial 99";

    runFor(poller, 60);

    assertThat(heard.others()).containsExactly("serial 17 -> serial 99");
  }

  @Test
  void aSilentNeighbourDoesNotStopTheOtherBoard() throws InterruptedException {
    LinePoller poller = poller(1, 7);

    runFor(poller, 300);

    assertThat(poller.counts("pack-1").answered()).isGreaterThan(250);
    assertThat(poller.counts("pack-7").answered()).isZero();
  }

  @Test
  void aNewPaceHoldsFromTheNextPollOn() throws InterruptedException {
    LinePoller poller = poller(1);
    runFor(poller, 10);
    poller.setPace("pack-1", Duration.ofMillis(250));

    runFor(poller, 10);

    assertThat(heard.readings()).hasSizeBetween(48, 52);
  }

  @Test
  void boardsWithOtherSettingsCannotShareALine() {
    BoardOnLine a = TinyDialogue.board("a", 1, Duration.ofSeconds(1));
    BoardOnLine b =
        new BoardOnLine(
            "b",
            new TinyDialogue(2, false),
            new LineSettings(19200, 8, LineSettings.Parity.NONE, 1),
            Duration.ofSeconds(1));
    LoopbackLink link = new LoopbackLink("loopback", wire, time);

    assertThatThrownBy(() -> new LinePoller(link, List.of(a, b), LineClock.of(time), heard))
        .isInstanceOf(IllegalArgumentException.class)
        .hasMessage("packs a and b share a line but not its settings");
  }
}
