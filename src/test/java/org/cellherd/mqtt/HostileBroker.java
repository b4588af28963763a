package org.cellherd.mqtt;

import java.io.DataInputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.ArrayDeque;
import java.util.Deque;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.concurrent.locks.LockSupport;
import org.cellherd.mqtt.link.BrokerUrl;
import org.cellherd.mqtt.link.Publication;

/**
 * A broker that speaks just enough MQTT 3.1.1 to misbehave at every point of it: one mischief a
 * connection, in the order given, and good manners from then on.
 */
final class HostileBroker implements AutoCloseable {

  private static final int CONNECT = 1;
  private static final int PUBLISH = 3;
  private static final int SUBSCRIBE = 8;
  private static final int PING = 12;
  private static final int BYE = 14;

  private final ServerSocket server;
  private final Deque<Mischief> plan;
  private final Random random;
  private final AtomicInteger open = new AtomicInteger();
  private final AtomicInteger mostOpen = new AtomicInteger();
  private final List<Publication> messages = new CopyOnWriteArrayList<>();
  private final List<Mischief> done = new CopyOnWriteArrayList<>();
  private final List<Socket> sockets = new CopyOnWriteArrayList<>();

  HostileBroker(List<Mischief> plan, long seed) throws IOException {
    this.plan = new ArrayDeque<>(plan);
    this.random = new Random(seed);
    this.server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    start(this::accept);
  }

  private static void start(Runnable work) {
    Thread thread = new Thread(work, "hostile-broker");
    thread.setDaemon(true);
    thread.start();
  }

  BrokerUrl url() {
    return new BrokerUrl(false, "127.0.0.1", server.getLocalPort());
  }

  /** Lines that the other side holds open now. */
  int openLines() {
    return open.get();
  }

  /** The most that it ever held open at once. */
  int mostOpenLines() {
    return mostOpen.get();
  }

  /** Everything that was published, in order. */
  List<Publication> messages() {
    return messages;
  }

  /** The mischief that was met so far. */
  List<Mischief> done() {
    return done;
  }

  private void accept() {
    try {
      while (!server.isClosed()) {
        Socket socket = server.accept();
        sockets.add(socket);
        mostOpen.accumulateAndGet(open.incrementAndGet(), Math::max);
        Mischief next = plan.isEmpty() ? Mischief.GOOD : plan.remove();
        done.add(next);
        Guest guest = new Guest(socket, next, new Random(random.nextLong()));
        start(guest::serve);
      }
    } catch (IOException closed) {
      return;
    }
  }

  @Override
  public void close() {
    try {
      server.close();
      for (Socket socket : sockets) {
        socket.close();
      }
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
  }

  /** One connection. */
  private final class Guest {
    private final Socket socket;
    private final Mischief mischief;
    private final Random draw;
    private int packetsLeft;

    Guest(Socket socket, Mischief mischief, Random draw) {
      this.socket = socket;
      this.mischief = mischief;
      this.draw = draw;
      this.packetsLeft = 1 + draw.nextInt(6);
    }

    void serve() {
      try (socket) {
        socket.setTcpNoDelay(true);
        if (mischief == Mischief.HANGS_UP_AT_ONCE || mischief == Mischief.RESETS_AT_ONCE) {
          socket.setSoLinger(mischief == Mischief.RESETS_AT_ONCE, 0);
          return;
        }
        DataInputStream in = new DataInputStream(socket.getInputStream());
        while (packet(in)) {
          packetsLeft--;
        }
      } catch (IOException gone) {
        // The other side left, which is its right.
      } finally {
        open.decrementAndGet();
      }
    }

    /** Reads one packet and answers it; false when the line is to be closed. */
    private boolean packet(DataInputStream in) throws IOException {
      if (mischief == Mischief.DEAF) {
        awaitEnd();
        return false;
      }
      int head = in.read();
      if (head < 0) {
        return false;
      }
      byte[] body = new byte[length(in)];
      in.readFully(body);
      return switch (head >> 4) {
        case CONNECT -> connect();
        case PUBLISH -> publish(head, ByteBuffer.wrap(body));
        case SUBSCRIBE -> subscribe(ByteBuffer.wrap(body));
        case PING -> send(0xD0, 0);
        case BYE -> false;
        default -> true;
      };
    }

    /** A deaf broker notices only that the line is gone: its writes fail. */
    private void awaitEnd() throws IOException {
      // Urgent data is outside of the stream, so it disturbs nothing that is spoken.
      while (!socket.isClosed()) {
        socket.sendUrgentData(0);
        LockSupport.parkNanos(20_000_000L);
      }
    }

    private int length(DataInputStream in) throws IOException {
      int length = 0;
      for (int shift = 0; ; shift += 7) {
        int b = in.readUnsignedByte();
        length |= (b & 0x7F) << shift;
        if ((b & 0x80) == 0) {
          return length;
        }
      }
    }

    private boolean connect() throws IOException {
      return switch (mischief) {
        case SILENT -> true;
        case HALF_CONNACK -> raw(new byte[] {0x20, 2, 0}, 1 + draw.nextInt(3));
        case WRONG_PACKET -> wrongPacket();
        case REFUSES -> !send(0x20, 2, 0, 1 + draw.nextInt(5));
        case CLOSES_AT_CONNECT -> false;
        default -> send(0x20, 2, 0, 0) && (mischief != Mischief.CLOSES_LATER || packetsLeft > 1);
      };
    }

    private boolean wrongPacket() throws IOException {
      return switch (draw.nextInt(4)) {
        case 0 -> send(0xD0, 0);
        case 1 -> send(0x40, 2, 0, 1);
        case 2 -> send(0x00, 0);
        default -> raw("HTTP/1.1 400 Bad Request\r\n\r\n".getBytes(StandardCharsets.US_ASCII), 28);
      };
    }

    private boolean publish(int head, ByteBuffer body) throws IOException {
      byte[] topic = new byte[body.getShort() & 0xFFFF];
      body.get(topic);
      int id = (head & 6) == 0 ? 0 : body.getShort() & 0xFFFF;
      byte[] payload = new byte[body.remaining()];
      body.get(payload);
      String name = new String(topic, StandardCharsets.UTF_8);
      boolean retained = (head & 1) != 0;
      if (mischief == Mischief.CLOSES_LATER && packetsLeft <= 1) {
        return false;
      }
      if (mischief == Mischief.NEVER_ACKNOWLEDGES
          || (mischief == Mischief.FORGETS_STATES && retained && !name.endsWith("/link"))) {
        return true;
      }
      messages.add(new Publication(name, new String(payload, StandardCharsets.UTF_8), retained));
      return acknowledge(id);
    }

    private boolean acknowledge(int id) throws IOException {
      int high = id >> 8;
      int low = id & 0xFF;
      if (mischief == Mischief.TWICE) {
        send(0x40, 2, 0x7F, draw.nextInt(256));
        send(0x40, 2, high, low);
      } else if (mischief == Mischief.CHATTY) {
        send(0x30, 7, 0, 3, 'x', '/', 'y', 'h', 'i');
        send(0x32, 8, 0, 3, 'z', '/', 'z', 0, 1 + draw.nextInt(200), '!');
      } else if (mischief == Mischief.WRONG_QUALITY) {
        send(draw.nextBoolean() ? 0x34 : 0x36, 8, 0, 3, 'z', '/', 'z', 0, 1, '!');
      } else if (mischief == Mischief.ODD_TOPICS) {
        send(0x30, 6, 0, 3, 'z', draw.nextInt(32), 'z', '!');
        send(0x32, 8, 0, 3, 0xEF, 0xBF, 0xBE + draw.nextInt(2), 0, 1, '!');
        send(0x30, 6, 0, 3, 'z', 0xC2, 0x80 + draw.nextInt(32), '!');
        send(0x30, 6, 0, 3, 0xFF, draw.nextInt(256), 0xED, '!');
      }
      return send(0x40, 2, high, low);
    }

    private boolean subscribe(ByteBuffer body) throws IOException {
      int high = body.get();
      int low = body.get();
      int topics = 0;
      while (body.hasRemaining()) {
        body.position(body.position() + 2 + (body.getShort(body.position()) & 0xFFFF) + 1);
        topics++;
      }
      if (mischief == Mischief.NO_SUBACK) {
        return true;
      }
      int[] answer = new int[4 + topics];
      answer[0] = 0x90;
      answer[1] = 2 + topics;
      answer[2] = high;
      answer[3] = low;
      for (int i = 0; i < topics; i++) {
        answer[4 + i] = mischief == Mischief.REFUSES_TOPICS ? 0x80 : 1;
      }
      send(answer);
      if (mischief == Mischief.HUGE) {
        send(0x30, 0x80, 0x80, 0x80, 0x64);
        byte[] some = new byte[8_192];
        for (int i = 0; i < 2_000; i++) {
          socket.getOutputStream().write(some);
        }
      }
      return true;
    }

    private boolean send(int... bytes) throws IOException {
      byte[] all = new byte[bytes.length];
      for (int i = 0; i < bytes.length; i++) {
        all[i] = (byte) bytes[i];
      }
      return raw(all, all.length);
    }

    private boolean raw(byte[] bytes, int count) throws IOException {
      OutputStream out = socket.getOutputStream();
      if (mischief == Mischief.FRAGMENTED) {
        for (int i = 0; i < count; i++) {
          out.write(bytes[i]);
          out.flush();
        }
      } else {
        out.write(bytes, 0, count);
      }
      return true;
    }
  }
}
