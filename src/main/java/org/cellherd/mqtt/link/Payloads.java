package org.cellherd.mqtt.link;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.cellherd.pack.PlainText;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.jspecify.annotations.Nullable;

/**
 * Leads what messages say past the client library: it would copy each payload twice, byte by byte,
 * and its reader would end, without a word to anybody, at topics that it does not like. It gets a
 * topic of one character, and a number of four bytes in place of the payload (MQTT 3.1.1, section
 * 3.3). Packets that no broker may send end the line with their cause. Any thread.
 */
final class Payloads {

  private static final int PUBLISH = 3;
  private static final int BEST_ASKED = 1;
  private static final byte[] TOPIC = {0, 1, '/'};

  /** CONNACK, PUBLISH, the four acknowledgements, SUBACK, UNSUBACK and PINGRESP (2.2.1). */
  private static final Set<Integer> OF_BROKERS = Set.of(2, PUBLISH, 4, 5, 6, 7, 9, 11, 13);

  /** More than the library holds at a time: ten that wait, and one on each side of them. */
  private static final int MOST = 16;

  private final Map<Integer, Message> kept = new ConcurrentHashMap<>();
  private volatile @Nullable IOException wrong;

  /** What a message says; control characters of its topic, which may not be there, are replaced. */
  static final class Message {
    final String topic;
    final byte[] payload;

    private Message(byte[] body, int topicEnd, int payloadAt) {
      String text = new String(body, 2, topicEnd - 2, StandardCharsets.UTF_8);
      topic = PlainText.marked(text);
      payload = Arrays.copyOfRange(body, payloadAt, body.length);
    }
  }

  /** Packets within bounds as they come in; those of the other end have numbers in place. */
  InputStream without(InputStream packets) {
    return new Shortened(packets);
  }

  /** What a message says that came through {@link #without}; each can be had once. */
  Message of(MqttMessage message) {
    int number = ByteBuffer.wrap(message.getPayload()).getInt();
    return Objects.requireNonNull(kept.remove(number), "taken before");
  }

  /** What a broker did that ended the line; the library may tell of its end alone, or late. */
  Throwable why(Throwable told) {
    IOException first = wrong;
    return first == null ? told : first;
  }

  private IOException wrong(String what) {
    IOException failure = new IOException(what);
    wrong = failure;
    return failure;
  }

  /** Reads whole packets; a read that fails for now goes on where it was. */
  private final class Shortened extends FilterInputStream {
    private ByteBuffer ready = ByteBuffer.allocate(0);
    private byte @Nullable [] packet;
    private int filled;
    private int type = -1;
    private int length;
    private int shift;
    private int number;

    Shortened(InputStream packets) {
      super(packets);
    }

    @Override
    public int read() throws IOException {
      byte[] one = new byte[1];
      return read(one, 0, 1) < 0 ? -1 : one[0] & 0xFF;
    }

    @Override
    public int read(byte[] buffer, int offset, int most) throws IOException {
      if (most == 0) {
        return 0;
      }
      while (!ready.hasRemaining()) {
        byte[] whole = packet;
        int count = next(whole);
        if (count < 0) {
          return -1;
        }
        if (whole == null) {
          headerByte(count);
        } else {
          filled += count;
          if (filled == whole.length) {
            handOn(whole);
          }
        }
      }
      int count = Math.min(most, ready.remaining());
      ready.get(buffer, offset, count);
      return count;
    }

    private int next(byte @Nullable [] whole) throws IOException {
      try {
        return whole == null ? in.read() : in.read(whole, filled, whole.length - filled);
      } catch (PacketGuard.TooLong tooLong) {
        wrong = tooLong;
        throw tooLong;
      }
    }

    private void headerByte(int value) throws IOException {
      if (type < 0) {
        type = value;
        length = 0;
        shift = 0;
        return;
      }
      length |= (value & 0x7F) << shift;
      shift += 7;
      if ((value & 0x80) == 0) {
        packet = new byte[length];
        filled = 0;
        if (length == 0) {
          handOn(new byte[0]);
        }
      }
    }

    private void handOn(byte[] body) throws IOException {
      if (!OF_BROKERS.contains(type >> 4)) {
        throw wrong("it sent what is no MQTT");
      }
      if (type >> 4 == PUBLISH) {
        handOnShort(body);
      } else {
        ready = packet(body.length);
        ready.put(body).flip();
      }
      packet = null;
      type = -1;
    }

    private void handOnShort(byte[] body) throws IOException {
      int quality = (type >> 1) & 3;
      if (quality > BEST_ASKED) {
        throw wrong("it sent a message at QoS " + quality + ", which nobody asked for");
      }
      int topicEnd = body.length < 2 ? 2 : 2 + ((body[0] & 0xFF) << 8 | (body[1] & 0xFF));
      int payload = topicEnd + (quality > 0 ? 2 : 0);
      if (payload > body.length) {
        throw wrong("it sent a message without a topic");
      }
      if (kept.size() >= MOST) {
        throw wrong("its messages went astray in here");
      }
      number++;
      kept.put(number, new Message(body, topicEnd, payload));
      ready = packet(TOPIC.length + payload - topicEnd + Integer.BYTES);
      ready.put(TOPIC).put(body, topicEnd, payload - topicEnd).putInt(number).flip();
    }

    /** Room for a packet of such a length, its header written. */
    private ByteBuffer packet(int bytes) {
      ByteBuffer room = ByteBuffer.allocate(5 + bytes);
      room.put((byte) type);
      int left = bytes;
      do {
        room.put((byte) ((left & 0x7F) | (left > 0x7F ? 0x80 : 0)));
        left >>= 7;
      } while (left > 0);
      return room;
    }
  }
}
