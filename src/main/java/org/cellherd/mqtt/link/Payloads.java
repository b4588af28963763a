package org.cellherd.mqtt.link;

import java.io.FilterInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.ConcurrentHashMap;
import org.eclipse.paho.client.mqttv3.MqttMessage;
import org.jspecify.annotations.Nullable;

/**
 * Leads the payloads of messages past the client library, which would copy each twice, byte by
 * byte: it gets a number in place of each, of the four bytes that end the packet (MQTT 3.1.1,
 * section 3.3). The library holds few messages at a time, so that few wait here. Any thread.
 *
 * <p>Messages of quality 2, which nobody asks for, go the library's way: it may hold those for
 * long.
 */
final class Payloads {

  private static final int PUBLISH = 3;
  private static final int QOS_2 = 2;

  private final Map<Integer, byte[]> kept = new ConcurrentHashMap<>();

  /** Packets within bounds as they come in; those of the other end have numbers in place. */
  InputStream without(InputStream packets) {
    return new Shortened(packets);
  }

  /** The payload of a message that came through {@link #without}; each can be had once. */
  byte[] of(MqttMessage message) {
    byte[] there = message.getPayload();
    return message.getQos() == QOS_2
        ? there
        : Objects.requireNonNull(kept.remove(ByteBuffer.wrap(there).getInt()), "taken before");
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
        int count = whole == null ? in.read() : in.read(whole, filled, whole.length - filled);
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

    private void headerByte(int value) {
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

    private void handOn(byte[] body) {
      int quality = (type >> 1) & 3;
      int payload = type >> 4 == PUBLISH && quality < QOS_2 ? payloadAt(body, quality) : -1;
      if (payload < 0 || payload > body.length) {
        ready = packet(body.length, 0);
        ready.put(body).flip();
      } else {
        number++;
        kept.put(number, Arrays.copyOfRange(body, payload, body.length));
        ready = packet(payload, Integer.BYTES);
        ready.put(body, 0, payload).putInt(number).flip();
      }
      packet = null;
      type = -1;
    }

    /** Behind the topic, and the packet's number where it has one; less than 0 without a topic. */
    private static int payloadAt(byte[] body, int quality) {
      return body.length < 2
          ? -1
          : 2 + ((body[0] & 0xFF) << 8 | (body[1] & 0xFF)) + (quality > 0 ? 2 : 0);
    }

    /** Room for a packet, its header written. */
    private ByteBuffer packet(int of, int more) {
      ByteBuffer room = ByteBuffer.allocate(5 + of + more);
      room.put((byte) type);
      int left = of + more;
      do {
        room.put((byte) ((left & 0x7F) | (left > 0x7F ? 0x80 : 0)));
        left >>= 7;
      } while (left > 0);
      return room;
    }
  }
}
