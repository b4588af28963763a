package org.cellherd.fleet;

import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.ByteArrayOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.ConcurrentLinkedQueue;
import java.util.concurrent.atomic.AtomicInteger;
import org.cellherd.mqtt.link.BrokerUrl;

/**
 * A connection that speaks for the sites of some lanes, in as much of MQTT 3.1.1 as that takes:
 * real sites are elsewhere, and what they cost here is missing to what is measured.
 */
final class CrowdLine implements AutoCloseable {

  private static final int ON_THEIR_WAY = 500;
  private static final int BUFFER = 65_536;
  private static final int CONNECT = 0x10;
  private static final int CONNACK = 0x20;
  private static final int PUBLISH = 0x30;
  private static final int PUBACK = 0x40;
  private static final int SUBSCRIBE = 0x82;
  private static final int SUBACK = 0x90;
  private static final int QOS_1 = 0x02;
  private static final int RETAIN = 0x01;

  /**
   * What a centre said.
   *
   * @param site name in the topic
   * @param text of the message
   */
  record Answer(String site, String text) {}

  private final Socket socket;
  private final DataOutputStream out;
  private final DataInputStream in;
  private final Queue<Answer> answers = new ConcurrentLinkedQueue<>();
  private final AtomicInteger onTheirWay = new AtomicInteger();
  private int lastId;
  private volatile boolean isLost;

  CrowdLine(BrokerUrl url, String name, List<Integer> lanes) throws IOException {
    socket = new Socket(url.host(), url.port());
    socket.setTcpNoDelay(true);
    out = new DataOutputStream(new BufferedOutputStream(socket.getOutputStream(), BUFFER));
    in = new DataInputStream(new BufferedInputStream(socket.getInputStream(), BUFFER));
    Packet hello = new Packet();
    hello.body.writeUTF("MQTT");
    hello.body.write(new byte[] {4, 2, 0, 0});
    hello.body.writeUTF(name);
    hello.write(CONNECT);
    Packet wish = new Packet();
    wish.body.writeShort(1);
    for (int lane : lanes) {
      wish.body.writeUTF(FleetSite.ROOT + "/" + lane + "/+/held");
      wish.body.write(1);
    }
    wish.write(SUBSCRIBE);
    out.flush();
    expect(CONNACK);
    expect(SUBACK);
    Thread reader = new Thread(this::read, name);
    reader.setDaemon(true);
    reader.start();
  }

  /** A packet that is written. */
  private final class Packet {
    final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    final DataOutputStream body = new DataOutputStream(bytes);

    void write(int type) throws IOException {
      synchronized (out) {
        head(type, bytes.size());
        bytes.writeTo(out);
      }
    }
  }

  private void head(int type, int length) throws IOException {
    out.write(type);
    int left = length;
    do {
      out.write((left & 0x7F) | (left > 0x7F ? 0x80 : 0));
      left >>= 7;
    } while (left > 0);
  }

  private void expect(int type) throws IOException {
    int came = in.readUnsignedByte();
    in.readFully(new byte[length()]);
    if (came != type) {
      throw new IOException("packet " + came + " came in place of " + type);
    }
  }

  private int length() throws IOException {
    int length = 0;
    for (int shift = 0; ; shift += 7) {
      int value = in.readUnsignedByte();
      length |= (value & 0x7F) << shift;
      if (value < 0x80) {
        return length;
      }
    }
  }

  private void read() {
    try {
      while (true) {
        int type = in.readUnsignedByte();
        byte[] body = new byte[length()];
        in.readFully(body);
        if ((type & 0xF0) == PUBACK) {
          onTheirWay.decrementAndGet();
        } else if ((type & 0xF0) == PUBLISH) {
          take(body, (type & QOS_1) != 0);
        }
      }
    } catch (IOException closed) {
      isLost = true;
    }
  }

  private void take(byte[] body, boolean isAsked) throws IOException {
    int topicEnd = 2 + ((body[0] & 0xFF) << 8 | (body[1] & 0xFF));
    String[] topic = new String(body, 2, topicEnd - 2, StandardCharsets.UTF_8).split("/", -1);
    int from = topicEnd + (isAsked ? 2 : 0);
    String text = new String(body, from, body.length - from, StandardCharsets.UTF_8);
    answers.add(new Answer(topic[topic.length - 2], text));
    if (isAsked) {
      synchronized (out) {
        head(PUBACK, 2);
        out.write(body, topicEnd, 2);
        out.flush();
      }
    }
  }

  /** What came in since this was last asked. */
  Queue<Answer> answers() {
    return answers;
  }

  /** Sends with the next {@link #flush}; false when the line is full for now. */
  boolean send(String topic, String text, boolean isKept) {
    if (isLost) {
      throw new IllegalStateException("the broker closed a connection of the crowd");
    }
    if (onTheirWay.get() >= ON_THEIR_WAY) {
      return false;
    }
    onTheirWay.incrementAndGet();
    byte[] name = topic.getBytes(StandardCharsets.UTF_8);
    byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
    lastId = lastId % 65_535 + 1;
    try {
      synchronized (out) {
        head(PUBLISH | QOS_1 | (isKept ? RETAIN : 0), 2 + name.length + 2 + bytes.length);
        out.writeShort(name.length);
        out.write(name);
        out.writeShort(lastId);
        out.write(bytes);
      }
      return true;
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Lets go what was sent. */
  void flush() {
    try {
      synchronized (out) {
        out.flush();
      }
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  @Override
  public void close() throws IOException {
    socket.close();
  }
}
