package org.cellherd.mqtt.trial;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.net.Socket;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.logging.Handler;
import java.util.logging.LogRecord;
import java.util.logging.Logger;
import org.cellherd.mqtt.link.BrokerUrl;
import org.junit.jupiter.api.Test;

class InProcessBrokerTest {

  private static final int CONNECT_WITH_WILL = 0x06;
  private static final byte[] CONNECT = {0x10};
  private static final int ANSWER_BYTES = 4;

  /** Keeps what the broker's own library says. */
  private static final class Ear extends Handler {
    final Queue<String> heard = new ConcurrentLinkedQueue<>();

    @Override
    public void publish(LogRecord record) {
      if (String.valueOf(record.getLoggerName()).startsWith("io.")) {
        heard.add(record.getLoggerName() + ": " + record.getMessage());
      }
    }

    @Override
    public void flush() {}

    @Override
    public void close() {}
  }

  @Test
  void aClientThatIsKilledLeavesItsWillAndNoStackTrace() throws Exception {
    Ear ear = new Ear();
    Logger.getLogger("").addHandler(ear);
    CountDownLatch dead = new CountDownLatch(1);
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener listener =
            TopicListener.start(
                broker.url(), "will", (topic, payload, retained) -> dead.countDown())) {
      assertThat(listener).isNotNull();
      killedClient(broker.url());
      assertThat(dead.await(1, TimeUnit.MINUTES)).isTrue();
    } finally {
      Logger.getLogger("").removeHandler(ear);
    }

    assertThat(ear.heard).isEmpty();
  }

  /** Its system resets the line, as for a process that ends with bytes unread. */
  private static void killedClient(BrokerUrl url) throws IOException {
    ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    DataOutputStream body = new DataOutputStream(bytes);
    body.writeUTF("MQTT");
    body.write(new byte[] {4, CONNECT_WITH_WILL, 0, 0});
    body.writeUTF("killed");
    body.writeUTF("will");
    body.writeUTF("dead");
    try (Socket socket = new Socket(url.host(), url.port())) {
      socket.getOutputStream().write(CONNECT);
      socket.getOutputStream().write(bytes.size());
      socket.getOutputStream().write(bytes.toByteArray());
      assertThat(socket.getInputStream().readNBytes(ANSWER_BYTES)).hasSize(ANSWER_BYTES);
      socket.setSoLinger(true, 0);
    }
  }
}
