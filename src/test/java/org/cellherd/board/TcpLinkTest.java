package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.net.InetAddress;
import java.net.ServerSocket;
import java.time.Duration;
import java.util.List;
import org.cellherd.ComputerTime;
import org.cellherd.pack.Gap;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;

class TcpLinkTest {
  private final ComputerTime time = new ComputerTime();
  private final TinyWire wire = new TinyWire(1);
  private final HeardListener heard = new HeardListener();

  private LinePoller poller(int port) {
    return new LinePoller(
        new TcpLink("127.0.0.1", port, time),
        List.of(TinyDialogue.board("house", 1, Duration.ofMillis(20))),
        new PollSettings(50, 50, 0),
        LineClock.of(time),
        heard);
  }

  private void stop(LinePoller poller, Thread thread) throws InterruptedException {
    poller.stop();
    thread.join(5000);
    assertThat(thread.isAlive()).isFalse();
  }

  private static Thread started(LinePoller poller) {
    Thread thread = new Thread(poller, "poller");
    thread.start();
    return thread;
  }

  @Test
  void anAnswerInSingleBytesIsOneAnswer() throws Exception {
    try (BridgeServer bridge = new BridgeServer(wire)) {
      bridge.pieces = 1;
      LinePoller poller = poller(bridge.port());
      Thread thread = started(poller);

      assertThat(heard.await(() -> heard.readings().size() >= 5)).isTrue();
      stop(poller, thread);

      assertThat(poller.counts("house").refusals()).isEmpty();
    }
  }

  @Test
  void anAnswerGluedToAnotherBoardsIsTaken() throws Exception {
    wire.strangerNext = Integer.MAX_VALUE;
    try (BridgeServer bridge = new BridgeServer(wire)) {
      LinePoller poller = poller(bridge.port());
      Thread thread = started(poller);

      assertThat(heard.await(() -> heard.readings().size() >= 5)).isTrue();
      stop(poller, thread);
    }
  }

  @Test
  void aConnectionThatGoesSilentIsMadeAnew() throws Exception {
    try (BridgeServer bridge = new BridgeServer(wire)) {
      LinePoller poller = poller(bridge.port());
      Thread thread = started(poller);
      assertThat(heard.await(() -> heard.readings().size() >= 2)).isTrue();
      bridge.isDeaf = true;

      assertThat(heard.await(() -> !heard.notes().isEmpty())).isTrue();
      bridge.isDeaf = false;
      int before = heard.readings().size();
      assertThat(heard.await(() -> heard.readings().size() > before)).isTrue();
      stop(poller, thread);

      assertThat(heard.notes().get(0)).contains("connected but silent, connecting anew");
      assertThat(bridge.connections.get()).isGreaterThan(1);
      assertThat(heard.gaps()).allMatch(g -> g.cause() == Gap.Cause.NO_BYTES);
    }
  }

  @Test
  void aConnectionThatBreaksIsAGapAtOnceAndComesBack() throws Exception {
    try (BridgeServer bridge = new BridgeServer(wire)) {
      LinePoller poller = poller(bridge.port());
      Thread thread = started(poller);
      assertThat(heard.await(() -> heard.readings().size() >= 2)).isTrue();

      bridge.closeAll();
      assertThat(heard.await(() -> !heard.gaps().isEmpty())).isTrue();
      int before = heard.readings().size();
      assertThat(heard.await(() -> heard.readings().size() > before)).isTrue();
      stop(poller, thread);

      assertThat(heard.gaps().get(0).cause()).isEqualTo(Gap.Cause.PORT_MISSING);
    }
  }

  @Test
  void aRefusedConnectionNamesHostAndPort() throws Exception {
    int free;
    try (ServerSocket server = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      free = server.getLocalPort();
    }
    Link link = new TcpLink("127.0.0.1", free, time);

    assertThatThrownBy(() -> link.open(LineSettings.DEFAULT))
        .isInstanceOf(LinkException.class)
        .hasMessage("tcp:127.0.0.1:" + free + ": Connection refused");
  }
}
