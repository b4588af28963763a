package org.cellherd.mqtt;

import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import org.cellherd.Await;
import org.cellherd.app.SystemTime;
import org.cellherd.mqtt.link.BrokerTrouble;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.Connection;
import org.cellherd.mqtt.link.LinkSettings;
import org.cellherd.mqtt.link.Wakeup;
import org.junit.jupiter.api.Test;

/** Whoever stops as soon as a broker took the line leaves no thread of the client library. */
class StoppedWhileConnectingTest {
  private static final int TIMES = 20;
  private static final String CLIENT = "soon-stopped";

  @Test
  void noThreadIsLeft() throws Exception {
    try (ServerSocket broker = new ServerSocket(0, TIMES, InetAddress.getLoopbackAddress())) {
      BrokerUrl url = BrokerUrl.of("mqtt://127.0.0.1:" + broker.getLocalPort());
      for (int i = 0; i < TIMES; i++) {
        LinkSettings settings =
            new LinkSettings(
                url,
                CLIENT + i,
                Optional.empty(),
                Optional.empty(),
                LinkSettings.Timing.DEFAULT,
                1);
        Wakeup wakeup = new Wakeup();
        CompletableFuture<Socket> accepted =
            CompletableFuture.supplyAsync(
                () -> {
                  try {
                    return broker.accept();
                  } catch (IOException e) {
                    throw new UncheckedIOException(e);
                  } finally {
                    wakeup.stop();
                  }
                });

        assertThatThrownBy(() -> Connection.visit(settings, new SystemTime(), wakeup))
            .isInstanceOf(BrokerTrouble.class);
        accepted.get().close();
      }

      Await.until("no thread is left", () -> threads() == 0);
    }
  }

  private static long threads() {
    return Thread.getAllStackTraces().keySet().stream()
        .filter(thread -> thread.getName().contains(CLIENT))
        .count();
  }
}
