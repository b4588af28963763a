package org.cellherd.mqtt.trial;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.concurrent.atomic.AtomicInteger;
import org.cellherd.mqtt.link.BrokerUrl;
import org.junit.jupiter.api.Test;

/** A listener before a broker that drops those who come. */
class TopicListenerTest {

  @Test
  void whoIsDroppedAtTheDoorAsksAgainButNotForEver() throws Exception {
    AtomicInteger came = new AtomicInteger();
    try (ServerSocket door = new ServerSocket(0, 9, InetAddress.getLoopbackAddress())) {
      Thread porter = new Thread(() -> turnAway(door, came), "porter");
      porter.setDaemon(true);
      porter.start();
      BrokerUrl url = new BrokerUrl(false, "127.0.0.1", door.getLocalPort());

      assertThatThrownBy(() -> TopicListener.start(url, "#", (topic, payload, retained) -> {}))
          .isInstanceOf(IllegalStateException.class)
          .hasMessageContaining("cannot be reached");
    }

    assertThat(came.get()).isEqualTo(12);
  }

  /** Hears the greeting and hangs up without an answer. */
  private static void turnAway(ServerSocket door, AtomicInteger came) {
    while (!door.isClosed()) {
      try (Socket guest = door.accept()) {
        came.incrementAndGet();
        assertThat(guest.getInputStream().read()).isNotNegative();
      } catch (IOException ended) {
        return;
      }
    }
  }
}
