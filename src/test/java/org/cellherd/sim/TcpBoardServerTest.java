package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.util.concurrent.atomic.AtomicBoolean;
import org.cellherd.ComputerTime;
import org.cellherd.board.FarSide;
import org.cellherd.board.LinkException;
import org.cellherd.board.TcpLink;
import org.cellherd.pack.Reading;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;

@Timeout(20)
class TcpBoardServerTest {

  private static final Decoder DECODER = Specs.find("sorrel-16").orElseThrow();
  private static final TimeSource REAL = new ComputerTime();

  private static Thread serving(TcpBoardServer server, AtomicBoolean goesOn) {
    Thread thread =
        new Thread(
            () -> {
              try {
                server.serve(goesOn::get);
              } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
              }
            },
            "simulated boards");
    thread.start();
    return thread;
  }

  @Test
  void boardAnswersOnAPortAtAnySpeed() throws Exception {
    Scenario scenario = Scenarios.open("first-night");
    SpeedClock clock = new SpeedClock(REAL, scenario.startMs(), 3600);
    SimulatedBoard board = SimulatedBoard.of(scenario, clock);
    AtomicBoolean goesOn = new AtomicBoolean(true);
    try (TcpBoardServer server = new TcpBoardServer(board, REAL, 0, false)) {
      Thread thread = serving(server, goesOn);
      for (int listener = 0; listener < 2; listener++) {
        try (TcpLink link = new TcpLink("127.0.0.1", server.port(), REAL)) {
          link.open(DECODER.line());
          Reading reading = Polls.poll(link, DECODER.dialogue(1), 1).orElseThrow();
          assertThat(reading.cells().count()).isEqualTo(4);
        }
      }
      goesOn.set(false);
      thread.join();
    }
    assertThat(clock.getAsLong()).isGreaterThan(scenario.startMs());
  }

  @Test
  void pulledCableHangsUp() throws Exception {
    AtomicBoolean plugged = new AtomicBoolean(true);
    AtomicBoolean goesOn = new AtomicBoolean(true);
    FarSide parrot =
        new FarSide() {
          @Override
          public byte[] exchange(byte[] sent) {
            return sent;
          }

          @Override
          public boolean isPlugged() {
            return plugged.get();
          }
        };
    try (TcpBoardServer server = new TcpBoardServer(parrot, REAL, 0, false);
        TcpLink link = new TcpLink("127.0.0.1", server.port(), REAL)) {
      Thread thread = serving(server, goesOn);
      link.open(DECODER.line());
      link.write(new byte[] {1, 2, 3});
      assertThat(link.read(new byte[8], 2000)).isEqualTo(3);

      plugged.set(false);

      assertThatThrownBy(() -> link.read(new byte[8], 5000)).isInstanceOf(LinkException.class);
      goesOn.set(false);
      thread.join();
    }
  }

  @Test
  void portInUseIsNamed() throws Exception {
    try (ServerSocket other = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      assertThatThrownBy(() -> new TcpBoardServer(sent -> sent, REAL, other.getLocalPort(), false))
          .isInstanceOf(LinkException.class)
          .hasMessageContaining(Integer.toString(other.getLocalPort()));
    }
  }
}
