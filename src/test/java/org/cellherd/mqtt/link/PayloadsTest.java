package org.cellherd.mqtt.link;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.net.SocketTimeoutException;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.eclipse.paho.client.mqttv3.MqttException;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.eclipse.paho.client.mqttv3.internal.wire.MqttPublish;
import org.eclipse.paho.client.mqttv3.internal.wire.MqttWireMessage;
import org.junit.jupiter.api.Test;
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

  /** Reads again what could not be read for now. */
  private static InputStream patient(InputStream slow) {
    return new FilterInputStream(slow) {
      @Override
      public int read() throws IOException {
        byte[] one = new byte[1];
        return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
      }

      @Override
      public int read(byte[] buffer, int offset, int most) throws IOException {
        while (true) {
          try {
            return in.read(buffer, offset, most);
          } catch (SocketTimeoutException nothingYet) {
            // Comes later.
          }
        }
      }
    };
  }

  private static MqttMessage drawn(Random random) {
    byte[] payload = new byte[random.nextInt(4) == 0 ? 0 : random.nextInt(20_000)];
    random.nextBytes(payload);
    MqttMessage message = new MqttMessage(payload);
    message.setQos(random.nextInt(2));
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

  /** The next packet of a line, as the library reads it. */
  private static MqttWireMessage message(InputStream line) throws IOException, MqttException {
    DataInputStream in = new DataInputStream(line);
    ByteArrayOutputStream packet = new ByteArrayOutputStream();
    packet.write(in.readUnsignedByte());
    int length = 0;
    int value = 0x80;
    for (int shift = 0; value > 0x7F; shift += 7) {
      value = in.readUnsignedByte();
      packet.write(value);
      length |= (value & 0x7F) << shift;
    }
    byte[] body = new byte[length];
    in.readFully(body);
    packet.write(body);
    return MqttWireMessage.createWireMessage(packet.toByteArray());
  }

  private static MqttPublish next(InputStream line) throws Exception {
    return (MqttPublish) message(line);
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

    InputStream rest = patient(payloads.without(slow(line.toByteArray(), random)));

    for (int i = 0; i < sent.size(); i++) {
      MqttPublish packet = next(rest);
      Payloads.Message said = payloads.of(packet.getMessage());
      assertThat(said.topic).isEqualTo("a/" + "t".repeat((i + 1) % 40));
      assertThat(packet.getMessage().isRetained()).isEqualTo(sent.get(i).isRetained());
      assertThat(said.payload).isEqualTo(sent.get(i).getPayload());
      assertThat(rest.readNBytes(2)).containsExactly(0xD0, 0);
    }
    assertThat(rest.read()).isEqualTo(-1);
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "x", "\0\7abc", "\377\377topic that ends too soon"})
  void aMessageWithoutATopicEndsTheLine(String body) {
    byte[] bytes = ("0" + (char) body.length() + body).getBytes(StandardCharsets.ISO_8859_1);
    InputStream in = new Payloads().without(new ByteArrayInputStream(bytes));

    assertThatThrownBy(in::readAllBytes).hasMessageContaining("without a topic");
  }

  @Test
  void aTopicThatTheLibraryRefusesPassesWithoutItsControlCharacters() throws Exception {
    byte[] topic = "a\n\u0000\u007F\u0085b\uFF21\uFFFE".getBytes(StandardCharsets.UTF_8);
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    line.writeBytes(new byte[] {0x30, (byte) (2 + topic.length + 1), 0, (byte) topic.length});
    line.writeBytes(topic);
    line.write('!');
    Payloads payloads = new Payloads();

    MqttPublish packet = next(payloads.without(new ByteArrayInputStream(line.toByteArray())));

    Payloads.Message said = payloads.of(packet.getMessage());
    assertThat(said.topic).isEqualTo("a????b\uFF21\uFFFE");
    assertThat(said.payload).containsExactly('!');
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
    assertThat(payloads.of(packet.getMessage()).payload).hasSize(length);
    assertThatThrownBy(() -> payloads.of(packet.getMessage()))
        .isInstanceOf(NullPointerException.class);
  }

  /** A packet with lengths, flags and topics as a hostile broker might draw them. */
  private static byte[] hostile(Random random) {
    byte[] body = new byte[random.nextInt(random.nextInt(10) == 0 ? 70_000 : 40)];
    random.nextBytes(body);
    if (random.nextInt(4) > 0 && body.length > 2) {
      body[0] = 0;
      body[1] = (byte) random.nextInt(body.length + 3);
    }
    int type = random.nextInt(3) > 0 ? 3 : random.nextInt(16);
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    out.write(type << 4 | random.nextInt(16));
    int claimed = random.nextInt(20) == 0 ? random.nextInt(1 << 29) : body.length;
    do {
      out.write((claimed & 0x7F) | (claimed > 0x7F ? 0x80 : 0));
      claimed >>= 7;
    } while (claimed > 0);
    out.writeBytes(body);
    return out.toByteArray();
  }

  /** The library's reader ends without a word at anything but these two failures. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void hostileBytesEndALineOnlyByWhatIsTold(long seed) throws Exception {
    Random random = new Random(seed);
    int taken = 0;
    for (int line = 0; line < 3_000; line++) {
      ByteArrayOutputStream bytes = new ByteArrayOutputStream();
      for (int i = 0; i < 8; i++) {
        bytes.writeBytes(hostile(random));
      }
      Payloads payloads = new Payloads();
      InputStream in =
          payloads.without(PacketGuard.buffered(new ByteArrayInputStream(bytes.toByteArray())));
      try {
        while (true) {
          if (message(in) instanceof MqttPublish packet) {
            assertThat(payloads.of(packet.getMessage())).isNotNull();
            taken++;
          }
        }
      } catch (IOException | MqttException told) {
        // Ends the line with its cause.
      }
    }
    assertThat(taken).isGreaterThan(500);
  }

  @Test
  void messagesThatNobodyTakesEndTheLineBeforeTheyFillTheMemory() throws Exception {
    ByteArrayOutputStream line = new ByteArrayOutputStream();
    for (int i = 0; i < 20; i++) {
      line.write(bytes(new MqttMessage(new byte[60_000]), 1));
    }
    InputStream in = new Payloads().without(new ByteArrayInputStream(line.toByteArray()));

    assertThatThrownBy(in::readAllBytes).hasMessageContaining("astray");
  }

  @Test
  void aQualityThatNobodyAskedForEndsTheLine() throws Exception {
    MqttMessage message = new MqttMessage(new byte[9]);
    message.setQos(2);
    InputStream in = new Payloads().without(new ByteArrayInputStream(bytes(message, 3)));

    assertThatThrownBy(in::readAllBytes).hasMessageContaining("at QoS 2");
  }
}
