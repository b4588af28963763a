package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.concurrent.ThreadLocalRandom;
import java.util.concurrent.atomic.AtomicLong;

/** The network between a publisher and its broker, with all that it can do wrong. */
public final class BrokenPath implements AutoCloseable {

  /** Whoever hears the bytes that a publisher sends, before the broker does. */
  public interface Eavesdropper {
    void sent(byte[] buffer, int length);
  }

  /** How it carries bytes. */
  public enum Manner {
    /** As it should. */
    WHOLE,
    /** Nobody comes through. */
    CUT,
    /** Connections are taken, and nothing ever comes back: no CONNACK, no PUBACK. */
    SILENT,
    /** What the publisher sends arrives, what the broker answers does not. */
    DEAF,
    /** The broker's answers are replaced by noise. */
    GARBAGE,
    /** Every piece waits a while. */
    SLOW
  }

  private static final long SLOW_MS = 300;
  private static final int MOST_CLIENT_ID = 200;

  private final ServerSocket server;
  private final int brokerPort;
  private final Eavesdropper ear;
  private final Set<Socket> open = ConcurrentHashMap.newKeySet();
  private volatile Manner manner = Manner.WHOLE;
  private volatile String clientId = "";
  private final AtomicLong drops = new AtomicLong();

  /** A path that nobody listens to. */
  public BrokenPath(int brokerPort) throws IOException {
    this(brokerPort, (buffer, length) -> {});
  }

  /** A path to a broker on this computer. */
  public BrokenPath(int brokerPort, Eavesdropper ear) throws IOException {
    this.brokerPort = brokerPort;
    this.ear = ear;
    this.server = new ServerSocket(0, 50, InetAddress.getLoopbackAddress());
    Threads.start("path", this::accept);
  }

  /** Where a publisher connects to. */
  public int port() {
    return server.getLocalPort();
  }

  /** The id by which the latest publisher called itself; empty before. */
  public String clientId() {
    return clientId;
  }

  /** True while it carries everything. */
  boolean isWhole() {
    return manner == Manner.WHOLE;
  }

  /** How often all connections were ended. */
  long drops() {
    return drops.get();
  }

  /** Carries so from now on, open connections too. */
  public void become(Manner next) {
    manner = next;
    if (next == Manner.CUT) {
      drop();
    }
  }

  /** Ends all connections at once; new ones are taken. */
  public void drop() {
    drops.incrementAndGet();
    open.forEach(BrokenPath::closeQuietly);
    open.clear();
  }

  private void accept() {
    while (!server.isClosed()) {
      try {
        Socket near = server.accept();
        if (manner == Manner.CUT) {
          closeQuietly(near);
          continue;
        }
        Socket far = new Socket(InetAddress.getLoopbackAddress(), brokerPort);
        open.add(near);
        open.add(far);
        Threads.start("path-out", () -> copy(near, far, true));
        Threads.start("path-in", () -> copy(far, near, false));
      } catch (IOException ended) {
        // Asked to end, or one connection that came to nothing.
      }
    }
  }

  private void copy(Socket from, Socket to, boolean isOut) {
    byte[] buffer = new byte[4096];
    try {
      InputStream in = from.getInputStream();
      OutputStream out = to.getOutputStream();
      for (int n = in.read(buffer); n >= 0 && manner != Manner.CUT; n = in.read(buffer)) {
        if (isOut) {
          ear.sent(buffer, n);
          noteClientId(buffer, n);
        }
        carry(buffer, n, out, isOut);
      }
    } catch (IOException cut) {
      // As a cut line does.
    } finally {
      closeQuietly(from);
      closeQuietly(to);
      open.remove(from);
      open.remove(to);
    }
  }

  private void carry(byte[] buffer, int n, OutputStream out, boolean isOut) throws IOException {
    switch (manner) {
      case SILENT -> {}
      case DEAF -> {
        if (isOut) {
          out.write(buffer, 0, n);
        }
      }
      case GARBAGE -> {
        byte[] noise = new byte[n];
        ThreadLocalRandom.current().nextBytes(noise);
        out.write(isOut ? buffer : noise, 0, n);
      }
      case SLOW -> {
        Threads.pause(SLOW_MS);
        out.write(buffer, 0, n);
      }
      case WHOLE, CUT -> out.write(buffer, 0, n);
    }
  }

  /** CONNECT: type 1, length, "MQTT", level, flags, keep alive, then the id with its length. */
  private void noteClientId(byte[] b, int n) {
    if (n < 14 || (b[0] & 0xF0) != 0x10) {
      return;
    }
    int at = 1;
    while (at < 5 && b[at] < 0) {
      at++;
    }
    at += 11;
    int length = at + 2 <= n ? ((b[at] & 0xFF) << 8) | (b[at + 1] & 0xFF) : 0;
    if (length > 0 && length < MOST_CLIENT_ID && at + 2 + length <= n) {
      clientId = new String(b, at + 2, length, StandardCharsets.UTF_8);
    }
  }

  private static void closeQuietly(Socket socket) {
    try {
      socket.close();
    } catch (IOException already) {
      // Nothing more to close.
    }
  }

  @Override
  public void close() throws IOException {
    server.close();
    become(Manner.CUT);
  }
}
