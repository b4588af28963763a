package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;

class CaptureAndReplayTest {
  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
  private final TinyWire wire = new TinyWire(1, 2);
  private final StringBuilder file = new StringBuilder();
  private final HeardListener live = new HeardListener();

  private static List<BoardOnLine> boards() {
    return List.of(board(1), board(2));
  }

  private static BoardOnLine board(int address) {
    return new BoardOnLine(
        "pack-" + address,
        new TinyDialogue(address, false),
        LineSettings.DEFAULT,
        Duration.ofSeconds(1));
  }

  private void runFor(LinePoller poller, long seconds) throws InterruptedException {
    long until = time.monotonicNanos() + seconds * 1_000_000_000L;
    while (time.monotonicNanos() < until) {
      poller.step();
    }
  }

  private LinePoller capturingPoller() {
    CaptureWriter writer = new CaptureWriter(file, "", time::wallMs);
    Link link = new CapturingLink(new LoopbackLink("loopback", wire, time), writer);
    return new LinePoller(link, boards(), LineClock.of(time), live);
  }

  private HeardListener replay(String text) throws Exception {
    HeardListener heard = new HeardListener();
    CaptureReplay replay = new CaptureReplay(boards(), heard);
    CaptureReader reader =
        new CaptureReader("c", new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8)));
    for (Optional<CaptureChunk> c = reader.next(); c.isPresent(); c = reader.next()) {
      replay.take(c.get());
    }
    replay.end();
    return heard;
  }

  @Test
  void aReplayGivesTheReadingsOfTheLiveRun() throws Exception {
    LinePoller poller = capturingPoller();
    runFor(poller, 20);
    wire.corruptNext = 2;
    wire.hasEcho = true;
    runFor(poller, 20);
    wire.strangerNext = 3;

    runFor(poller, 20);

    assertThat(live.readings()).hasSizeGreaterThan(110);
    assertThat(replay(file.toString()).entries()).isEqualTo(live.entries());
  }

  @Test
  void aSilenceInTheCaptureIsTheSameGap() throws Exception {
    LinePoller poller = capturingPoller();
    runFor(poller, 20);
    wire.isMute = true;
    runFor(poller, 40);
    wire.isMute = false;
    runFor(poller, 20);

    HeardListener replayed = replay(file.toString());

    assertThat(replayed.readings()).isEqualTo(live.readings());
    assertThat(replayed.gaps()).hasSize(2).allMatch(live.gaps()::contains);
  }

  @Test
  void answersAloneAreEnough() throws Exception {
    LinePoller poller = capturingPoller();
    runFor(poller, 20);
    String answers =
        file.toString()
            .lines()
            .filter(l -> l.contains("\"rx\""))
            .reduce("", (a, b) -> a + b + "\n");

    assertThat(replay(answers).readings()).hasSameElementsAs(live.readings());
  }
}
