package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicReference;
import org.cellherd.ComputerTime;
import org.cellherd.board.LinkException;
import org.cellherd.board.PtyPair;
import org.cellherd.board.SerialLink;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;

@Timeout(30)
class BoardServerTest {

  private static final Decoder DECODER = Specs.find("teasel-16").orElseThrow();

  @Test
  void boardAnswersOnASerialDeviceAndNoticesThePulledCable(@TempDir Path folder) throws Exception {
    ComputerTime time = new ComputerTime();
    Scenario scenario = Scenarios.open("first-night-16s");
    SimulatedBoard board = SimulatedBoard.of(scenario, new SpeedClock(time, 0, 1));
    AtomicReference<LinkException> failure = new AtomicReference<>();
    AtomicBoolean goesOn = new AtomicBoolean(true);
    Thread boards;
    try (PtyPair cable = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        SerialLink near = new SerialLink(cable.near.toString(), time)) {
      SerialLink far = new SerialLink(cable.far.toString(), time);
      far.open(DECODER.line());
      boards = new Thread(() -> serve(board, far, goesOn, failure), "simulated boards");
      boards.start();
      near.open(DECODER.line());

      Reading reading = Polls.poll(near, DECODER.dialogue(1), 1, 10_000).orElseThrow();

      assertThat(reading.cells().count()).isEqualTo(16);
    }
    boards.join();
    assertThat(failure.get()).isNotNull();
  }

  private static void serve(
      SimulatedBoard board,
      SerialLink far,
      AtomicBoolean goesOn,
      AtomicReference<LinkException> failure) {
    try {
      new BoardServer(board, new ComputerTime()).serve(far, goesOn::get);
    } catch (LinkException e) {
      failure.set(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }
}
