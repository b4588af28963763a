package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import com.sun.net.httpserver.HttpServer;
import java.io.IOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URI;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

class DeadManTest {
  private final Turns time = new Turns();
  private final AtomicBoolean isWell = new AtomicBoolean(true);
  private final AtomicInteger asked = new AtomicInteger();
  private int status = 200;
  private HttpServer listener;

  @BeforeEach
  void listen() throws IOException {
    listener = HttpServer.create(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0), 0);
    listener.createContext(
        "/secret",
        exchange -> {
          asked.incrementAndGet();
          exchange.sendResponseHeaders(status, -1);
          exchange.close();
        });
    listener.start();
  }

  @AfterEach
  void stop() {
    listener.stop(0);
  }

  private DeadMan deadMan() {
    URI address = URI.create("http://127.0.0.1:" + listener.getAddress().getPort() + "/secret");
    return new DeadMan(address, 60, isWell::get, time);
  }

  /** Works off one turn of the request's thread. */
  private void turn() {
    time.pass();
    time.awaitWait();
  }

  @Test
  void isHeardEachTimeWhileAllIsWell() {
    try (DeadMan running = deadMan()) {
      time.awaitWait();
      turn();
      turn();

      assertThat(asked).hasValue(3);
      assertThat(time.monotonicNanos()).isEqualTo(120_000_000_000L);
      assertThat(running).isNotNull();
    }
  }

  @Test
  void fallsSilentWhileAnythingIsAmissAndComesBack() {
    isWell.set(false);
    try (DeadMan running = deadMan()) {
      time.awaitWait();
      turn();
      turn();
      assertThat(asked).hasValue(0);

      isWell.set(true);
      turn();
      assertThat(asked).hasValue(1);
      assertThat(running).isNotNull();
    }
  }

  @Test
  void goesOnAfterAListenerThatFails() {
    status = 500;
    try (DeadMan running = deadMan()) {
      time.awaitWait();
      listener.stop(0);
      turn();
      turn();

      assertThat(asked).hasValue(1);
      assertThat(running).isNotNull();
    }
  }
}
