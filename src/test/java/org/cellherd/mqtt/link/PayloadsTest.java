package org.cellherd.mqtt.link;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.SocketTimeoutException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.internal.wire.MqttPublish;
import org.eclipse.paho.client.mqttv3.internal.wire.MqttWireMessage;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PayloadsTest {

  /** Each second read fails for now, as on a line where nothing comes; others give a byte or so. */
  private static InputStream slow(byte[] bytes, Random random) {
    return new FilterInputStream(new ByteArrayInputStream(bytes)) {
      @Override
      public int read() throws IOException {
        pause();
        return in.read();
      }

      @Override
      public int read(byte[] buffer, int offset, int most) throws IOException {
        pause();
        return in.read(buffer, offset, 1 + random.nextInt(most));
      }

      private void pause() throws SocketTimeoutException {
        if (random.nextBoolean()) {
          throw new SocketTimeoutException();
        }
      }
    };
  }

  private static byte[] all(InputStream in, Random random) throws IOException {
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    byte[] buffer = new byte[300];
    while (true) {
      try {
        int count = in.read(buffer, 0, 1 + random.nextInt(buffer.length));
        if (count < 0) {
          return all.toByteArray();
        }
        all.write(buffer, 0, count);
      } catch (SocketTimeoutException nothingYet) {
        // Comes later.
      }
    }
  }

  private static MqttMessage drawn(Random random) {
    byte[] payload = new byte[random.nextInt(4) == 0 ? 0 : random.nextInt(20_000)];
    random.nextBytes(payload);
    MqttMessage message = new MqttMessage(payload);
    message.setQos(random.nextInt(3));
    message.setRetained(random.nextBoolean());
    return message;
  }

  private static byte[] bytes(MqttMessage message, int id) throws Exception {
    MqttPublish packet = new MqttPublish("a/" + "t".repeat(id % 40), message);
    packet.setMessageId(id);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(packet.getHeader());
    out.write(packet.getPayload());
    return out.toByteArray();
  }

  /** The next message of a line, as the library reads it. */
  private static MqttPublish next(InputStream line) throws Exception {
    ByteArrayOutputStream packet = new ByteArrayOutputStream();
    packet.write(line.read());
    int length = 0;
    int value = 0x80;
    for (int shift = 0; value > 0x7F; shift += 7) {
      value = line.read();
      packet.write(value);
      length |= (value & 0x7F) << shift;
    }
    packet.write(line.readNBytes(length));
    return (MqttPublish) MqttWireMessage.createWireMessage(packet.toByteArray());
  }

  /** What the library reads, message by message, with its own reader. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void eachMessageHasItsOwnPayloadWhateverTheLineDoes(long seed) throws Exception {
    Random random = new Random(seed);
    List<MqttMessage> sent = new ArrayList<>();
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    for (int i = 0; i < 40; i++) {
      sent.add(drawn(random));
      line.write(bytes(sent.get(i), i + 1));
      // An answer to a ping between them.
      line.write(new byte[] {(byte) 0xD0, 0});
    }
    Payloads payloads = new Payloads();

    byte[] heard = all(payloads.without(slow(line.toByteArray(), random)), random);

    InputStream rest = new ByteArrayInputStream(heard);
    for (int i = 0; i < sent.size(); i++) {
      MqttPublish packet = next(rest);
      assertThat(packet.getTopicName()).isEqualTo("a/" + "t".repeat((i + 1) % 40));
      assertThat(packet.getMessage().isRetained()).isEqualTo(sent.get(i).isRetained());
      assertThat(payloads.of(packet.getMessage())).isEqualTo(sent.get(i).getPayload());
      assertThat(rest.readNBytes(2)).containsExactly(0xD0, 0);
    }
    assertThat(rest.read()).isEqualTo(-1);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "x", "\0\7abc", "\377\377topic that ends too soon"})
  void aMessageWithoutATopicPassesAsItIs(String body) throws Exception {
    byte[] bytes = (" " + (char) body.length() + body).getBytes(StandardCharsets.ISO_8859_1);
    bytes[0] = 0x30;

    assertThat(new Payloads().without(new ByteArrayInputStream(bytes)).readAllBytes())
        .isEqualTo(bytes);
  }

  /** The library's own length, whatever it was: what is left of a message is short. */
  @ParameterizedTest
  @ValueSource(ints = {200, 60_000})
  void theLibraryGetsFourBytesOfAPayload(int length) throws Exception {
    byte[] bytes = bytes(new MqttMessage(new byte[length]), 7);
    Payloads payloads = new Payloads();

    byte[] heard = payloads.without(new ByteArrayInputStream(bytes)).readAllBytes();
    MqttPublish packet = next(new ByteArrayInputStream(heard));

    assertThat(packet.getMessage().getPayload()).hasSize(Integer.BYTES);
    assertThat(payloads.of(packet.getMessage())).hasSize(length);
    assertThatThrownBy(() -> payloads.of(packet.getMessage()))
        .isInstanceOf(NullPointerException.class);
  }
}
